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
     * @param {string} words
     * @param {string} scope
     */
    function headOf(words, scope, wide = 1) {
        const cell = /** @type {HTMLTableCellElement} */ (made("th", words));
        cell.scope = scope;
        cell.colSpan = wide;
        return cell;
    }

    /**
     * A table; a row of one text alone heads those below it.
     * @param {string[]} heads
     * @param {string[][]} rows
     */
    function tableOf(heads, rows) {
        const table = /** @type {HTMLTableElement} */ (made("table", "", "fb-record__table"));
        const head = table.createTHead().insertRow();
        head.append(...heads.map((word) => headOf(word, "col")));
        const body = table.createTBody();
        for (const texts of rows) {
            const row = body.insertRow();
            if (texts.length === 1 && heads.length > 1) {
                row.append(headOf(texts[0] ?? "", "rowgroup", heads.length));
                continue;
            }
            texts.forEach((text, at) => {
                const cell = row.insertCell();
                cell.textContent = text;
                cell.setAttribute("data-head", heads[at] ?? "");
            });
        }
        return table;
    }

    /**
     * @param {string} words
     * @param {() => void} press
     * @param {string} [more]
     */
    function key(words, press, more = "") {
        const button = /** @type {HTMLButtonElement} */ (made("button", words, `fb-key ${more}`));
        button.type = "button";
        button.addEventListener("click", press);
        return button;
    }

    /**
     * The fields of an entry that hold something.
     * @param {Record<string, any>} fields
     */
    const filled = (fields) => /** @type {EntryFields} */ (Object.fromEntries(Object.entries(fields).filter(([, value]) => value)));

    window.furrowbook.elements = { made, key, tableOf, clock, filled };
})();
