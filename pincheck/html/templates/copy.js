"use strict";
for (const button of document.querySelectorAll("button[data-copy]")) {
  const text = document.getElementById(button.dataset.copy);
  const word = button.textContent;
  const said = (now) => {
    button.textContent = now;
    setTimeout(() => { button.textContent = word; }, 2500);
  };
  const selected = () => {
    const range = document.createRange();
    range.selectNodeContents(text);
    const selection = getSelection();
    selection.removeAllRanges();
    selection.addRange(range);
    said(document.execCommand("copy") ? "Copied" : "Selected: press Ctrl+C");
  };
  button.hidden = false;
  button.addEventListener("click", () => {
    if (navigator.clipboard) {
      navigator.clipboard.writeText(text.textContent).then(() => said("Copied"), selected);
    } else {
      selected();
    }
  });
}
