/* Small comforts on top of pages that work without script: focus on the error summary, one submit at a time, and refusals
   of htmx requests shown in the message area. */

function focusWhatWentWrong(root) {
  const place = root.querySelector("[data-focus]");
  if (place) {
    place.focus();
  }
}

focusWhatWentWrong(document);
document.addEventListener("htmx:afterSettle", (event) => focusWhatWentWrong(event.target));

/* Who stood in a part that was swapped stands in the new one: htmx finds what has the same id, this finds the part itself
   when what was stood on is gone. */
let stoodIn = null;
document.addEventListener("htmx:beforeSwap", (event) => {
  const part = event.detail.target;
  stoodIn = part.id && part.contains(document.activeElement) ? part.id : null;
});
document.addEventListener("htmx:afterSettle", () => {
  const part = stoodIn && document.getElementById(stoodIn);
  if (part && (!document.activeElement || document.activeElement === document.body)) {
    part.tabIndex = -1;
    part.focus({ preventScroll: true });
  }
  stoodIn = null;
});

/* A second press while the first is under way is swallowed. The mark is taken off when the page comes back from the cache. */
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post" || event.defaultPrevented) {
    return;
  }
  if (form.dataset.underWay === "yes") {
    event.preventDefault();
    return;
  }
  form.dataset.underWay = "yes";
  setTimeout(() => delete form.dataset.underWay, 8000); // an answer that is a file leaves the page standing
});
window.addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-under-way]")) {
    delete form.dataset.underWay;
  }
});
document.addEventListener("htmx:afterRequest", (event) => {
  const form = event.target.closest?.("form");
  if (form) {
    delete form.dataset.underWay;
  }
});

/* htmx leaves answers of 400 and above aside; a refusal is meant to be read, and says itself where it goes. */
document.addEventListener("htmx:beforeSwap", (event) => {
  if (event.detail.xhr.getResponseHeader("Reedcrew-Refusal")) {
    event.detail.shouldSwap = true;
    event.detail.isError = false;
  }
});
