// Light and dark: the system's wish, or the last choice here.

const system = matchMedia("(prefers-color-scheme: dark)");
const button = document.getElementById("theme");

function show() {
  const wanted = localStorage.getItem("theme") ?? (system.matches ? "dark" : "light");
  document.documentElement.dataset.theme = wanted;
  button.textContent = wanted === "dark" ? "Light" : "Dark";
  button.setAttribute("aria-label", wanted === "dark" ? "Light colours" : "Dark colours");
}

button.addEventListener("click", () => {
  localStorage.setItem("theme", document.documentElement.dataset.theme === "dark" ? "light" : "dark");
  show();
});
system.addEventListener("change", show);
show();
