/** A reply laid out: the same elements and text as `templates/results.html`, which the build uses. */
(() => {
    "use strict";

    /** Elements a chart may be drawn with. */
    const DRAWN = new Set([
        "svg", "title", "desc", "g", "line", "polyline", "polygon", "path", "rect", "circle", "ellipse", "text",
        "tspan",
    ]);

    /**
     * An element with its attributes and content.
     * @param {string} name
     * @param {Record<string, string>} attributes
     * @param {(Node | string)[]} content
     * @returns {HTMLElement}
     */
    function element(name, attributes, content) {
        const made = document.createElement(name);
        for (const [key, value] of Object.entries(attributes)) {
            made.setAttribute(key, value);
        }
        made.append(...content);
        return made;
    }

    /**
     * @param {Cell} cell
     * @param {Words} words
     * @param {string} absent what stands in place of a figure that is not there
     * @returns {(Node | string)[]}
     */
    function figure(cell, words, absent = "–") {
        if (cell === null) {
            return [element("span", { class: "fb-unknown" }, [absent])];
        }
        if (typeof cell === "string") {
            return [cell];
        }
        const { shown, give_or_take: give } = cell;
        const text = give ? [element("span", { class: "fb-give-shown" }, [`${words.give_or_take} ${give.shown}`])] : [];
        return [shown, ...text.flatMap((one) => [" ", one])];
    }

    /**
     * The figures of the answer that are there, in declared order.
     * @param {Reply} reply
     * @param {Output[]} outputs
     * @param {Words} words
     */
    function figures(reply, outputs, words) {
        const list = element("dl", { class: "fb-values" }, []);
        for (const output of outputs) {
            const cell = reply.results[output.name];
            if (cell !== undefined) {
                const main = output.main ? " fb-main" : "";
                const said = typeof cell === "string" ? " fb-said" : "";
                list.append(element("div", { class: `fb-result${main}${said}`, "data-result": output.name }, [
                    element("dt", {}, [output.title]),
                    element("dd", {}, figure(cell, words, output.absent)),
                ]));
            }
        }
        return list;
    }

    /**
     * @param {Reply["notes"]} notes
     * @param {Words} words
     */
    function noted(notes, words) {
        return element("ul", { class: "fb-notes" }, notes.map((note) => element(
            "li",
            { class: `fb-note fb-${note.level}`, "data-note": note.code },
            [element("strong", {}, [words.levels[note.level] ?? ""]), ` ${note.text}`],
        )));
    }

    /**
     * A chart, if it holds nothing but a drawing.
     * @param {string} svg
     * @returns {Node}
     */
    function drawing(svg) {
        const parsed = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
        for (const one of [parsed, ...parsed.querySelectorAll("*")]) {
            const foreign = one.namespaceURI !== "http://www.w3.org/2000/svg" || !DRAWN.has(one.localName);
            const active = one.getAttributeNames().some((name) => /^on|href|^style$/i.test(name));
            if (foreign || active) {
                throw new Error(`A chart holds more than a drawing: ${one.localName}`);
            }
        }
        return document.adoptNode(parsed);
    }

    /** @param {Reply["charts"][number]} chart */
    function charted(chart) {
        return element("figure", { class: "fb-chart", "data-chart": chart.id }, [
            drawing(chart.svg),
            element("figcaption", {}, [chart.description]),
        ]);
    }

    /**
     * @param {Reply["tables"][number]} table
     * @param {Words} words
     */
    function tabled(table, words) {
        const head = table.columns.map((column) => element("th", { scope: "col" }, [column.title]));
        const rows = table.rows.map((row) => element("tr", {}, row.map((cell, number) => element(
            number === 0 ? "th" : "td",
            {
                ...(number === 0 ? { scope: "row" } : {}),
                ...(typeof cell === "string" ? { class: "fb-said" } : {}),
            },
            figure(cell, words),
        ))));
        return element(
            "div",
            {
                class: "fb-table", "data-table": table.id, role: "group", tabindex: "0", "aria-label": table.title,
            },
            [element("table", { class: "fb-grid" }, [
                element("caption", {}, [table.title]),
                element("thead", {}, [element("tr", {}, head)]),
                element("tbody", {}, rows),
            ])],
        );
    }

    window.furrowbook.results = {
        render(reply, outputs, words) {
            return element("div", { class: "fb-results" }, [
                figures(reply, outputs, words),
                ...(reply.notes.length > 0 ? [noted(reply.notes, words)] : []),
                ...reply.charts.map(charted),
                ...reply.tables.map((table) => tabled(table, words)),
            ]);
        },
        picture(svg) {
            return element("figure", { class: "fb-chart" }, [drawing(svg)]);
        },
    };
})();
