/** The record of a job on a page: what was found, what is open, and who signed. */
(() => {
    "use strict";

    const { record, job, PlainForm, Signature, elements } = window.furrowbook;
    const { made, key, tableOf, clock } = elements;

    const WORDS = {
        open: "Temporary changes that are open",
        no_open: "No temporary change is open.",
        blocked: "The hand-over cannot be signed while a temporary change is open. Put each one back, in its procedure.",
        heads: ["Value", "Measured", "Limits", "Verdict", "What was done"],
        skipped: "Does not apply",
        worked: "Worked out",
        signed: "Signed",
        all: (/** @type {number} */ count) => `Every entry, ${count}`,
        steps: (/** @type {number} */ count) => `${count} ${count === 1 ? "step" : "steps"} done`,
        verdicts: { within: "✓ within", outside: "✗ OUTSIDE" },
        take_up: "Go on with this job",
        put_away: "Put this job away",
        here: "You are working on this job.",
        build: "Builds of the book",
        gone: "The photo is on another device.",
        photo: "Photo",
        own: (/** @type {string} */ name) => `Page: ${name}`,
        kept: "Signed, and kept on this device.",
        taken: "taken back",
        back: "Take back",
    };

    /** A hand, as it was drawn: lines only, which the record has found to be lines. */
    /** @param {string} path */
    function handOf(path) {
        const space = "http://www.w3.org/2000/svg";
        const picture = document.createElementNS(space, "svg");
        picture.setAttribute("viewBox", "0 0 600 200");
        picture.setAttribute("class", "fb-record__hand");
        picture.setAttribute("aria-hidden", "true");
        const line = document.createElementNS(space, "path");
        line.setAttribute("d", path);
        line.setAttribute("fill", "none");
        line.setAttribute("stroke", "currentColor");
        line.setAttribute("stroke-width", "4");
        picture.append(line);
        return picture;
    }

    class RecordPage {
        #root;

        /** @type {HTMLSelectElement} */
        #select;

        /** @type {HTMLElement} */
        #sheet;

        /** @param {HTMLElement} root */
        constructor(root) {
            this.#root = root;
            this.#select = /** @type {HTMLSelectElement} */ (root.querySelector(".fb-record__choice select"));
            this.#sheet = /** @type {HTMLElement} */ (root.querySelector(".fb-record__sheet"));
            this.#select.addEventListener("change", () => this.#show());
            record.addEventListener("change", () => this.#list());
            this.#signing();
            this.#list();
        }

        async #list() {
            const begun = (await record.entries("kind", "begun")).reverse();
            const chosen = this.#select.value || job.current?.job || "";
            const seen = new Set();
            const options = begun.filter((one) => !seen.has(one.job) && seen.add(one.job));
            this.#select.replaceChildren(
                ...options.map((one) => new Option(`${one.name}${one.serial ? `, ${one.serial}` : ""}, ${clock(one.when)}`, one.job, false, one.job === chosen)),
            );
            /** @type {HTMLElement} */ (this.#root.querySelector(".fb-record__choice")).hidden = options.length === 0;
            /** @type {HTMLElement} */ (this.#root.querySelector(".fb-record__none")).hidden = options.length > 0;
            await this.#show();
        }

        get #signPlace() {
            return /** @type {HTMLElement} */ (this.#root.querySelector(".fb-record__sign"));
        }

        async #show() {
            const id = this.#select.value;
            this.#signPlace.hidden = !id;
            if (!id) {
                this.#sheet.replaceChildren();
                return;
            }
            const entries = await record.entries("job", id);
            const standing = job.standingOf(entries);
            const { changes } = standing;
            this.#sheet.replaceChildren(
                this.#head(standing, entries),
                this.#keys(standing),
                made("h3", WORDS.open),
                changes.length > 0 ? this.#changes(changes) : made("p", WORDS.no_open),
                ...(await this.#pages(standing.valid)),
                ...this.#worked(standing.valid),
                ...this.#signatures(standing.valid),
                this.#every(entries, standing.undone),
            );
            const blocked = /** @type {HTMLElement} */ (this.#root.querySelector(".fb-record__blocked"));
            blocked.textContent = changes.length > 0 ? WORDS.blocked : "";
            /** @type {HTMLButtonElement} */ (this.#signPlace.querySelector(".fb-go")).disabled = changes.length > 0;
        }

        /**
         * @param {JobStanding} standing
         * @param {Entry[]} entries
         */
        #head({ begun }, entries) {
            const list = made("dl", "", "fb-record__head");
            const builds = [...new Set(entries.map((one) => one.build))].join(", ");
            const who = [...new Set(entries.flatMap((one) => [one.who, one.second ?? ""]))].filter(Boolean).join(", ");
            const lines = { Machine: begun?.name, "Serial number": begun?.serial, Place: begun?.place, Begun: begun && clock(begun.when), "Last entry": clock(entries.at(-1)?.when ?? ""), Who: who, [WORDS.build]: builds };
            for (const [name, text] of Object.entries(lines)) {
                if (text) {
                    const row = made("div");
                    row.append(made("dt", name), made("dd", text));
                    list.append(row);
                }
            }
            return list;
        }

        /** @param {JobStanding} standing */
        #keys({ begun }) {
            const keys = made("div", "", "fb-keys fb-on-screen");
            const here = begun !== null && job.current?.job === begun.job;
            const change = key(here ? WORDS.put_away : WORDS.take_up, async () => {
                await job.choose(here || !begun ? null : { job: begun.job, who: job.current?.who ?? begun.who, second: job.current?.second ?? begun.second ?? "" });
                this.#show();
            });
            keys.append(change, ...(here ? [made("span", WORDS.here)] : []));
            return keys;
        }

        /** @param {Entry[]} changes */
        #changes(changes) {
            const list = made("ul");
            for (const one of changes) {
                list.append(made("li", `${one.change} (${one.who}, ${clock(one.when)})`));
            }
            return list;
        }

        /**
         * Page by page what was found.
         * @param {Entry[]} valid
         */
        async #pages(valid) {
            /** @type {Map<string, Entry[]>} */
            const pages = new Map();
            for (const one of valid.filter((entry) => entry.page)) {
                pages.set(one.page, [...(pages.get(one.page) ?? []), one]);
            }
            const parts = [];
            for (const [page, entries] of pages) {
                const of = (/** @type {string} */ kind) => entries.filter((one) => one.kind === kind);
                parts.push(made("h3", WORDS.own(page.replace(/[.]html$/, "").split("/").slice(-2).join(": "))), made("p", WORDS.steps(of("done").length)));
                let part = "";
                const rows = of("measured").flatMap((one) => {
                    const head = one.part && one.part !== part ? [[one.part]] : [];
                    part = one.part ?? "";
                    return [...head, RecordPage.#row(one)];
                });
                if (rows.length > 0) {
                    const table = tableOf(WORDS.heads, rows);
                    table.classList.add("fb-record__values");
                    parts.push(table);
                }
                const skipped = of("skipped");
                if (skipped.length > 0) {
                    const list = made("ul");
                    skipped.forEach((one) => list.append(made("li", `${one.says} ${WORDS.skipped}: ${one.reason} (${one.who})`)));
                    parts.push(list);
                }
                for (const one of [...of("noted"), ...of("pictured")]) {
                    parts.push(one.kind === "noted" ? made("p", `“${one.note}” (${one.who}, ${clock(one.when)})`) : await this.#photo(one));
                }
            }
            return parts;
        }

        /** @param {Record<string, string>} texts */
        static #named(texts) {
            return Object.entries(texts).map(([name, text]) => `${name.replaceAll("_", " ")} ${text}`).join("; ");
        }

        /** @param {Entry} one */
        static #row(one) {
            const limits = [one.low && `at least ${one.low}`, one.high && `at most ${one.high}`];
            const verdict = WORDS.verdicts[/** @type {"within"} */ (one.verdict)] ?? "";
            return [one.what, one.value, limits.filter(Boolean).join(", "), verdict, one.action ?? ""];
        }

        /** @param {Entry} entry */
        async #photo(entry) {
            const blob = await record.photo(entry.photo);
            if (!blob) {
                return made("p", `${WORDS.photo}, ${clock(entry.when)}. ${WORDS.gone}`);
            }
            const figure = made("figure");
            const picture = document.createElement("img");
            picture.src = URL.createObjectURL(blob);
            picture.alt = `${WORDS.photo}, ${clock(entry.when)}`;
            figure.append(picture, made("figcaption", picture.alt));
            return figure;
        }

        /** @param {Entry[]} valid */
        #worked(valid) {
            const worked = valid.filter((one) => one.kind === "worked");
            const rows = worked.map((one) => [
                [one.calculator, one.tank, one.lot].filter(Boolean).join(", "),
                RecordPage.#named(one.given),
                RecordPage.#named(one.results),
            ]);
            return rows.length > 0 ? [made("h3", WORDS.worked), tableOf(["What", "Given", "Found"], rows)] : [];
        }

        /** @param {Entry[]} valid */
        #signatures(valid) {
            const signed = valid.filter((one) => one.kind === "signed");
            if (signed.length === 0) {
                return [];
            }
            const list = made("ul", "", "fb-record__signed");
            for (const one of signed) {
                const line = made("li", `${one.name}, ${one.role}, ${clock(one.when)}, build ${one.build}`);
                if (one.drawn) {
                    line.append(handOf(one.drawn));
                }
                list.append(line);
            }
            return [made("h3", WORDS.signed), list];
        }

        /**
         * @param {Entry[]} entries
         * @param {Set<string>} undone
         */
        #every(entries, undone) {
            const all = made("details", "", "fb-record__all fb-on-screen");
            all.append(made("summary", WORDS.all(entries.length)));
            all.addEventListener("toggle", () => {
                if (all.childElementCount === 1) {
                    const list = made("ol");
                    for (const one of entries) {
                        const { kind, who, when, says, value, change, note, reason, name } = one;
                        const words = [clock(when), kind, says ?? note ?? name ?? "", value, change, reason, who, undone.has(one.id) ? WORDS.taken : ""];
                        const line = made("li", `${words.filter(Boolean).join(" · ")} `);
                        if (kind !== "undone" && !undone.has(one.id)) {
                            line.append(key(WORDS.back, () => this.#takeBack(one), "fb-key--small"));
                        }
                        list.append(line);
                    }
                    all.append(list);
                }
            });
            return all;
        }

        /** @param {Entry} entry */
        async #takeBack(entry) {
            const id = entry.job;
            const { valid } = job.standingOf(await record.entries("job", id));
            const who = job.current && job.current.job === id ? job.current.who : entry.who;
            await record.addAll(job.takenBack(entry, valid).map((of) => ({ kind: "undone", job: id, who, of })));
        }

        // --- signing ---

        #signing() {
            const form = /** @type {HTMLFormElement} */ (this.#signPlace.querySelector("form"));
            const fields = new PlainForm(form);
            const hand = new Signature(/** @type {HTMLElement} */ (form.querySelector(".fb-signature")));
            const said = /** @type {HTMLElement} */ (form.querySelector(".fb-kept"));
            form.addEventListener("submit", async (event) => {
                event.preventDefault();
                fields.show([]);
                said.textContent = "";
                const { role, name } = fields.values;
                const drawn = hand.value ? { drawn: hand.value } : {};
                try {
                    const { changes } = job.standingOf(await record.entries("job", this.#select.value));
                    if (changes.length > 0) {
                        fields.show([{ field: "", problem: WORDS.blocked }]);
                        return;
                    }
                    const entry = { kind: "signed", job: this.#select.value, who: name, role, name, ...drawn };
                    await record.add(elements.filled(entry));
                    fields.fill({});
                    hand.value = "";
                    said.textContent = WORDS.kept;
                } catch (error) {
                    const { errors, message } = /** @type {any} */ (error);
                    const told = errors?.filter((/** @type {EntryError} */ one) => one.field !== "who");
                    fields.show(told ?? [{ field: "", problem: message }]);
                }
            });
        }
    }

    for (const root of document.querySelectorAll(".fb-record__job")) {
        new RecordPage(/** @type {HTMLElement} */ (root));
    }
})();
