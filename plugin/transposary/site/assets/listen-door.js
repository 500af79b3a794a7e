/* The button of a device's page behind which the page listens to the reader. */
(function () {
  "use strict";

  transposary.devices((section) => {
    const { door } = transposary.group(section, "Play");
    door.onclick = () => {
      door.disabled = true;
      transposary.want("listen.js").then(() => transposary.listen(section, door));
    };
  });
})();
