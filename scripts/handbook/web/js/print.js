/** On paper everything that can be opened is open; afterwards the page is as it was. */
(() => {
    "use strict";

    /** @type {Element[]} */
    let opened = [];

    addEventListener("beforeprint", () => {
        opened = [...document.querySelectorAll(".md-content details:not([open])")];
        opened.forEach((one) => one.setAttribute("open", ""));
    });
    addEventListener("afterprint", () => {
        opened.forEach((one) => one.removeAttribute("open"));
        opened = [];
    });
})();
