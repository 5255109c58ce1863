/** The sheet on which a trainer marks what was seen: kept as it is filled in, and in the record once it is signed. */
(() => {
    "use strict";

    const { PlainForm, Signature, EngineLine, record, today } = window.furrowbook;

    const WORDS = {
        getting_ready: "Getting ready…",
        broke: "This sheet cannot be kept here. Print it and fill it in on paper.",
        no_engine: "This browser is too old to keep the sheet. Print it and fill it in on paper.",
        retry: "Try again",
        kept: "Kept on this device, signed by both.",
        skills: "Who may do what",
        sure: "Wipe this sheet? What is kept in the record stays.",
        seen: "mark what you saw",
        level: "choose a level",
    };

    /** @param {Element} element */
    const said = (element) => /** @type {HTMLElement} */ (element.querySelector(".fb-says")).innerText.replace(/\s+/g, " ").trim();

    class Sheet {
        #form;

        /** @type {HTMLFormElement} */
        #root;

        /** @type {HandSigned[]} */
        #signatures;

        #draft;

        #word;

        /** @param {HTMLFormElement} root */
        constructor(root) {
            this.#root = root;
            this.#form = new PlainForm(root);
            this.#draft = `furrowbook.draft ${root.dataset.page} ${root.dataset.title}`;
            this.#word = /** @type {HTMLElement} */ (root.parentElement?.querySelector(".fb-kept"));
            root.querySelectorAll('[name="ended"]').forEach((box, at) => {
                box.setAttribute("name", `ended-${at + 1}`);
            });
            this.#signatures = [.../** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll(".fb-signature"))].map((one) => {
                const made = new Signature(one);
                made.onchange = () => this.#keepDraft();
                return made;
            });
            this.#takeDraft();
            root.addEventListener("input", () => this.#keepDraft());
            root.addEventListener("focusin", () => this.#begin(), { once: true });
            root.addEventListener("submit", (event) => {
                event.preventDefault();
                this.#keep();
            });
            root.addEventListener("reset", (event) => {
                event.preventDefault();
                if (confirm(WORDS.sure)) {
                    this.#wipe();
                }
            });
        }

        /** Python comes when the sheet is begun, and not for each reader of the page; so does today's date. */
        #begin() {
            new EngineLine(/** @type {HTMLElement} */ (this.#root.querySelector(".fb-engine")), /** @type {any} */ (WORDS));
            const date = /** @type {HTMLInputElement} */ (this.#root.querySelector('[name="date"]'));
            if (!date.value) {
                this.#form.fill({ ...this.#form.values, date: today() });
            }
        }

        async #keep() {
            this.#word.textContent = "";
            this.#form.show([]);
            try {
                const { entry, missing } = this.#entry();
                // Who wrote it is the evaluator, of whom it is said below; the marks are told of line by line.
                const told = missing.length > 0 ? /^(who|seen|level)/ : /^who$/;
                const others = (await record.problems(entry)).filter((one) => !told.test(one.field));
                if (missing.length + others.length > 0) {
                    this.#form.show([...missing, ...others]);
                    return;
                }
                await record.add(entry);
                this.#wipe();
                const link = document.createElement("a");
                link.href = this.#word.dataset.skills ?? "";
                link.textContent = WORDS.skills;
                this.#word.replaceChildren(`${WORDS.kept} `, link);
                this.#word.scrollIntoView({ block: "center" });
            } catch (error) {
                const { errors, message } = /** @type {any} */ (error);
                this.#form.show(errors ?? [{ field: "", problem: message.replace(/\.$/, "") }]);
            }
        }

        /** The entry, and which marks are missing: Python would tell of a list, and not of its line. */
        #entry() {
            const values = this.#form.values;
            /** @type {EntryFields} */
            const entry = { kind: "watched", page: this.#root.dataset.page, title: this.#root.dataset.title };
            if (this.#root.dataset.apart) {
                entry.apart = this.#root.dataset.apart;
            }
            const seen = [];
            const missing = [];
            for (const set of this.#root.querySelectorAll(".fb-ways:not(.fb-levels)")) {
                const name = set.getAttribute("data-entry") ?? "";
                if (values[name]) {
                    seen.push({ says: said(set), seen: values[name] });
                } else {
                    missing.push({ field: name, problem: WORDS.seen });
                }
            }
            if (!values.level) {
                missing.push({ field: "level", problem: WORDS.level });
            }
            const ended = [...this.#root.querySelectorAll(".fb-ends label")].filter((one) => one.querySelector(":checked")).map(said);
            for (const [name, value] of Object.entries(values)) {
                if (!/^(seen|ended)-/.test(name)) {
                    entry[name] = value;
                }
            }
            for (const one of this.#signatures) {
                if (one.value) {
                    entry[one.name] = one.value;
                }
            }
            entry.seen = seen;
            if (ended.length > 0) {
                entry.ended = ended;
            }
            entry.who = entry.evaluator;
            return { entry, missing };
        }

        #keepDraft() {
            try {
                const drawn = Object.fromEntries(this.#signatures.map((one) => [one.name, one.value]));
                localStorage.setItem(this.#draft, JSON.stringify({ ...this.#form.values, ...drawn }));
            } catch {
                // It then lasts as long as the page.
            }
        }

        #takeDraft() {
            try {
                const draft = JSON.parse(localStorage.getItem(this.#draft) ?? "null");
                if (draft && typeof draft === "object") {
                    this.#form.fill(draft);
                    for (const one of this.#signatures) {
                        one.value = typeof draft[one.name] === "string" && /^[ML0-9 ]*$/.test(draft[one.name]) ? draft[one.name] : "";
                    }
                }
            } catch {
                // Nothing is kept, or not what was written here: the sheet is empty.
            }
        }

        #wipe() {
            this.#form.fill({});
            this.#form.show([]);
            for (const one of this.#signatures) {
                one.value = "";
            }
            try {
                localStorage.removeItem(this.#draft);
            } catch {
                // nothing was kept
            }
        }
    }

    for (const root of document.querySelectorAll(".fb-observed__sheet")) {
        new Sheet(/** @type {HTMLFormElement} */ (root));
    }
})();
