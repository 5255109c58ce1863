/** Elements as our scripts make them: with their words as text, and never as markup. */
(() => {
    "use strict";

    /**
     * @param {string} name
     * @param {string} [text]
     * @param {string} [className]
     */
    function made(name, text = "", className = "") {
        const element = document.createElement(name);
        element.textContent = text;
        element.className = className;
        return element;
    }

    /**
     * A moment, as it is read.
     * @param {string} when
     */
    const clock = (when) => new Date(when).toLocaleString("en", { year: "numeric", month: "short", day: "numeric", hour: "2-digit", minute: "2-digit", hourCycle: "h23" });

    /**
     * @param {string[]} heads
     * @param {string[][]} rows
     */
    function tableOf(heads, rows) {
        const table = /** @type {HTMLTableElement} */ (made("table", "", "fb-record__table"));
        const head = table.createTHead().insertRow();
        for (const word of heads) {
            const cell = made("th", word);
            cell.setAttribute("scope", "col");
            head.append(cell);
        }
        const body = table.createTBody();
        for (const texts of rows) {
            const row = body.insertRow();
            texts.forEach((text, at) => {
                const cell = row.insertCell();
                cell.textContent = text;
                cell.setAttribute("data-head", heads[at] ?? "");
            });
        }
        return table;
    }

    window.furrowbook.elements = { made, tableOf, clock };
})();
