/** Who may do what: the sheets that were signed on this device, laid out by work and by person. */
(() => {
    "use strict";

    const { record, inWords, today } = window.furrowbook;

    const WORDS = {
        work: "By work",
        people: "By person",
        ammonia: "Ammonia: only with the license of the place",
        level: "Level",
        until: "Good until",
        lapsed: "Lapsed on",
        broke: "The sheets cannot be shown here. Export them below, and open them in a newer browser.",
        twins: "Two sheets bear the same number and differ. Both are kept: look at them in an export.",
    };

    /**
     * @param {string} name
     * @param {string} [text]
     */
    function made(name, text = "") {
        const element = document.createElement(name);
        element.textContent = text;
        return element;
    }

    /**
     * @param {string} title
     * @param {{ first: Node, person: SkillPerson }[]} rows
     */
    function listOf(title, rows) {
        const list = document.createElement("ul");
        list.className = "fb-skills__list";
        for (const { first, person } of rows) {
            const row = made("li");
            const head = made("strong");
            head.append(first);
            const until = inWords(person.until);
            row.append(
                head,
                made("span", person.may),
                made("small", `${WORDS.level} ${person.level}: ${person.evaluator}, ${inWords(person.date)}`),
                made("small", `${person.lapsed ? WORDS.lapsed : WORDS.until} ${until}`),
            );
            row.classList.toggle("fb-skills--lapsed", person.lapsed);
            list.append(row);
        }
        return [made("h4", title), list];
    }

    class Skills {
        #root;

        /** @param {HTMLElement} root */
        constructor(root) {
            this.#root = root;
            record.addEventListener("change", () => this.#show());
            this.#show();
        }

        async #show() {
            const sheets = await record.entries("kind", "watched");
            if (sheets.length === 0) {
                return;
            }
            try {
                const request = { record: "skills", entries: sheets.map((one) => JSON.stringify(one)), today: today() };
                const { work, twins } = await record.ask(request);
                this.#root.replaceChildren(
                    ...(twins.length > 0 ? [made("p", WORDS.twins)] : []),
                    made("h3", WORDS.work),
                    ...this.#byWork(work),
                    made("h3", WORDS.people),
                    ...this.#byPerson(work),
                );
            } catch {
                this.#root.replaceChildren(made("p", WORDS.broke));
            }
        }

        /** @param {SkillWork[]} work */
        #byWork(work) {
            /** @type {HTMLElement[]} */
            const parts = [];
            let apart = "";
            for (const one of work) {
                if (one.apart && !apart) {
                    parts.push(made("h3", WORDS.ammonia));
                }
                apart = one.apart;
                const rows = one.people.map((person) => ({ first: document.createTextNode(person.name), person }));
                parts.push(...listOf(one.title, rows));
            }
            return parts;
        }

        /** @param {SkillWork[]} work */
        #byPerson(work) {
            /** @type {Map<string, { name: string, rows: { first: Node, person: SkillPerson }[] }>} */
            const people = new Map();
            for (const one of work) {
                for (const person of one.people) {
                    const key = person.name.toLowerCase().replace(/\s+/g, " ");
                    const known = people.get(key) ?? { name: person.name, rows: [] };
                    known.rows.push({ first: this.#link(one), person });
                    people.set(key, known);
                }
            }
            const sorted = [...people.values()].sort((a, b) => (a.name < b.name ? -1 : 1));
            return sorted.flatMap(({ name, rows }) => listOf(name, rows));
        }

        /** @param {SkillWork} work */
        #link(work) {
            const link = document.createElement("a");
            // A page that a file names is only followed where it is one of this book.
            link.href = /^[a-z0-9/-]+\.html$/.test(work.page) ? `${this.#root.dataset.top}${work.page}` : "#";
            link.textContent = work.apart ? `${work.title} (licensed work)` : work.title;
            return link;
        }
    }

    for (const root of document.querySelectorAll(".fb-skills__grid")) {
        new Skills(/** @type {HTMLElement} */ (root));
    }
})();
