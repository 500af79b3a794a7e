/* Search from the disk.
 *
 * Why: the theme searches in a Web Worker, and browsers refuse workers to pages opened from
 * file://. There this stands in for `Worker`: the same script runs in an empty frame, which
 * passes messages as a worker would. The theme would otherwise fetch such a script from a
 * foreign server; it leaves that alone where a polyfill has "iframe-worker" in its name, and
 * its search script looks for `IFrameWorker` in the page to find its own folder.
 */
(function () {
  "use strict";
  if (location.protocol !== "file:") return;

  class IFrameWorker extends EventTarget {
    constructor(address) {
      super();
      const frame = document.createElement("iframe");
      frame.hidden = true;
      frame.title = "Search";
      this.ready = new Promise((resolve) => {
        frame.onload = () => resolve(this.prepare(frame.contentWindow, address));
      });
      document.body.append(frame);
    }

    async prepare(inside, address) {
      const load = (source) =>
        new Promise((resolve, reject) => {
          const script = inside.document.createElement("script");
          script.src = source;
          script.onload = resolve;
          script.onerror = reject;
          inside.document.head.append(script);
        });
      inside.postMessage = (data) => this.dispatchEvent(new MessageEvent("message", { data }));
      inside.importScripts = async (...sources) => {
        for (const source of sources) await load(source);
      };
      await load(address);
      return inside;
    }

    async postMessage(data) {
      const inside = await this.ready;
      inside.dispatchEvent(new MessageEvent("message", { data }));
    }
  }

  window.Worker = window.IFrameWorker = IFrameWorker;
})();
