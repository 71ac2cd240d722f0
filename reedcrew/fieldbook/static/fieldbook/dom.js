/* Little helpers for pages made of the shell's own templates. */

export function find(selector, root = document) {
  return root.querySelector(selector);
}

export function all(selector, root = document) {
  return [...root.querySelectorAll(selector)];
}

/** A copy of the element in the shell's template with this name. */
export function copyOf(name) {
  return find(`#t-${name}`).content.firstElementChild.cloneNode(true);
}

/** Write each value into the elements that ask for it by data-text; an element without a text is hidden. */
export function write(root, values) {
  for (const [name, value] of Object.entries(values)) {
    for (const element of all(`[data-text="${name}"]`, root)) {
      const said = String(value ?? "");
      const text = said && element.classList.contains("unseen") ? ` ${said}` : said;
      if (element.textContent !== text) {
        element.textContent = text;
      }
      if (!element.hasAttribute("data-always")) {
        element.hidden = text === "";
      }
    }
  }
}

/** Show or hide the elements that are named by data-show. */
export function show(root, shown) {
  for (const [name, on] of Object.entries(shown)) {
    for (const element of all(`[data-show="${name}"]`, root)) {
      element.hidden = !on;
    }
  }
}

/** Make the children of a list fit the items: kept lines keep their focus, their inputs and what was opened. */
export function lines(list, template, items, fill) {
  const known = new Map([...list.children].map((line) => [line.dataset.key, line]));
  let place = null;
  for (const item of items) {
    const key = String(item.key);
    const line = known.get(key) ?? copyOf(template);
    known.delete(key);
    line.dataset.key = key;
    const wanted = place === null ? list.firstElementChild : place.nextElementSibling;
    if (wanted !== line) {
      list.insertBefore(line, wanted);
    }
    place = line;
    fill(line, item);
  }
  for (const gone of known.values()) {
    gone.remove();
  }
}

/** Offer the options in a select and keep what is chosen. */
export function offer(select, options) {
  const wanted = JSON.stringify(options);
  if (select.dataset.offered === wanted) {
    return;
  }
  const chosen = select.value;
  select.replaceChildren(...options.map(([value, text]) => new Option(text, value)));
  if (options.some(([value]) => String(value) === chosen)) {
    select.value = chosen;
  }
  select.dataset.offered = wanted;
}

/** The key of the line in which an event happened. */
export function keyOf(event) {
  return event.target.closest("[data-key]")?.dataset.key;
}

/** Call the function of the button's data-act when one is pressed inside the root. */
export function onPress(root, acts) {
  root.addEventListener("click", (event) => {
    const button = event.target.closest("button[data-act]");
    const act = button && acts[button.dataset.act];
    if (act) {
      act(button.closest("[data-key]")?.dataset.key, button);
    }
  });
}

/** Call a function with the form's values when it is sent; an answer that is not false empties the form. */
export function onSend(form, take) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (form.dataset.underWay) {
      return;
    }
    form.dataset.underWay = "yes";
    try {
      const done = await take(Object.fromEntries(new FormData(form)), form);
      if (done !== false) {
        form.reset();
      }
    } finally {
      delete form.dataset.underWay;
    }
  });
}
