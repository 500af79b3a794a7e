/* The button of a device's page behind which the page listens to the reader. */
(function () {
  "use strict";

  for (const section of document.querySelectorAll("[data-home]")) {
    if (!transposary.notes(section)?.notes.length) continue;
    const button = transposary.make("button", { type: "button" }, "Play it to the page");
    button.addEventListener("click", () => {
      button.disabled = true;
      transposary.want("midi.js listen-judge.js listen.js").then(() => transposary.listen(section, button));
    });
    transposary.group(section, "Play").append(button);
  }
})();
