/* The button of a device's page behind which the page listens to the reader. */
(function () {
  "use strict";

  transposary.devices((section) => {
    const door = transposary.button("Let the page listen", () => {
      door.disabled = true;
      transposary.want("listen.js").then(() => transposary.listen(section, door));
    });
    transposary.group(section, "Play").append(door);
  });
})();
