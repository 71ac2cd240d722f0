/* Beside the field of a position: writes down the place where the phone is. */

function offer(row) {
  const text = document.getElementById(row.dataset.for);
  const status = row.querySelector('[role="status"]');
  const decimals = Number(row.dataset.decimals);
  const say = (sentence) => {
    status.textContent = sentence;
  };
  row.querySelector("button").addEventListener("click", () => {
    say(row.dataset.where);
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => {
        text.value = `${coords.latitude.toFixed(decimals)}, ${coords.longitude.toFixed(decimals)}`;
        say(row.dataset.found.replace("{accuracy}", Math.ceil(coords.accuracy)));
      },
      () => say(row.dataset.nowhere),
      { enableHighAccuracy: true, maximumAge: 0, timeout: 20000 },
    );
  });
  row.hidden = false;
}

if ("geolocation" in navigator) {
  document.querySelectorAll("[data-here]").forEach(offer);
}
