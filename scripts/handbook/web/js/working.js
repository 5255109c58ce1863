/** Working through a procedure: hazards read, values measured and steps done, one after the other, in the record. */
(() => {
    "use strict";

    const { record, job, JobForm, WorkItem, keptLine, besides, shrunk, elements } = window.furrowbook;
    const { made, key, clock } = elements;

    const WORDS = {
        done: "Done",
        read: "Read, and met",
        keep: "Keep this value",
        action: "It is outside its limits. What was done about it?",
        needs_values: "Keep the value first.",
        end: "All steps of this page are in the record.",
        begin: "Keep a record as you work",
        go_on: (/** @type {string} */ name) => `Go on with ${name}`,
        place: (/** @type {number} */ at, /** @type {number} */ of) => `${at} of ${of}`,
        no_picture: "This photo could not be read. Try another one.",
    };

    class Work {
        #section;

        #place;

        #page;

        /** @type {FoundItem[]} */
        #items;

        /** What is shown of each item, so that only what has changed is made anew. */
        /** @type {Map<FoundItem, string>} */
        #shown = new Map();

        /** @type {FoundItem | null} */
        #current = null;

        #working = false;

        /** One press after another: a second one waits, and counts only if its step is still in hand. */
        /** @type {Promise<void>} */
        #turn = Promise.resolve();

        /** @param {HTMLElement} section */
        constructor(section) {
            this.#section = section;
            this.#page = section.dataset.page ?? "";
            this.#place = /** @type {HTMLElement} */ (section.querySelector(".fb-work"));
            this.#items = Work.#itemsOf(section);
            this.#place.hidden = false;
            this.#beginning();
            job.addEventListener("change", () => this.#show());
            this.#show();
        }

        /** @param {HTMLElement} section */
        static #itemsOf(section) {
            let part = "";
            const items = [];
            for (const one of /** @type {NodeListOf<HTMLElement>} */ (section.querySelectorAll("h2, h3, h4, [data-step]"))) {
                if (one.dataset.step) {
                    items.push(new WorkItem(one, part));
                } else {
                    part = one.textContent?.trim().slice(0, 200) ?? "";
                }
            }
            return items;
        }

        /** Goes on with the job in hand, or asks for one and for all names that this work takes. */
        #beginning() {
            const begin = /** @type {HTMLButtonElement} */ (this.#place.querySelector(".fb-work__begin"));
            const form = new JobForm(this.#place, this.#people, () => this.#begin());
            begin.addEventListener("click", () => {
                if (this.#named) {
                    this.#begin();
                } else {
                    form.open();
                }
            });
        }

        #begin() {
            this.#working = true;
            this.#show(true);
        }

        get #people() {
            return Number(this.#section.dataset.people ?? "1");
        }

        /** Whether all names are there that this work asks for. */
        get #named() {
            return Boolean(job.current?.who && (this.#people < 2 || job.current.second));
        }

        // --- showing ---

        /** @param {boolean} [go]   to the next step */
        #show(go = false) {
            const { current, standing } = job;
            const mine = standing.valid.filter((one) => one.page === this.#page);
            this.#working = Boolean(current) && this.#named && (this.#working || mine.length > 0);
            const begin = /** @type {HTMLElement} */ (this.#place.querySelector(".fb-work__begin"));
            begin.textContent = current && standing.begun ? WORDS.go_on(standing.begun.name) : WORDS.begin;
            begin.hidden = this.#working;
            this.#section.classList.toggle("fb-working", this.#working);
            /** @type {Map<string, Entry[]>} */
            const by = new Map();
            for (const one of mine) {
                by.set(one.step, [...(by.get(one.step) ?? []), one]);
            }
            const finished = (/** @type {FoundItem} */ item) =>
                (by.get(item.key) ?? []).some((one) => ["done", "skipped", "heeded"].includes(one.kind));
            this.#current = this.#working ? (this.#items.find((item) => !finished(item)) ?? null) : null;
            const answers = standing.valid.filter((one) => one.kind === "worked");
            for (const item of this.#items) {
                const entries = by.get(item.key) ?? [];
                const worked = this.#working ? Work.#workedFor(item, answers) : [];
                const state = this.#working
                    ? JSON.stringify([item === this.#current, ...entries.map((one) => one.id), ...worked.map((one) => one.id)])
                    : "";
                if (this.#shown.get(item) !== state) {
                    this.#shown.set(item, state);
                    this.#draw(item, entries, worked);
                }
            }
            if (go) {
                this.#goOn();
            }
        }

        /**
         * What calculators answered that this step asks for, the newest first.
         * @param {FoundItem} item
         * @param {Entry[]} answers
         */
        static #workedFor(item, answers) {
            return answers.filter((one) => item.calculators.includes(one.calculator)).reverse().slice(0, 4);
        }

        #goOn() {
            const now = this.#current?.root.querySelector(".fb-next");
            const inside = this.#current?.hazard ? this.#current.root : now;
            inside?.scrollIntoView({ block: "center" });
            /** @type {HTMLElement | null | undefined} */ (now?.querySelector("input:not([type=file]), .fb-key--main"))?.focus({ preventScroll: true });
            if (this.#working && !this.#current) {
                this.#say(this.#place, WORDS.end);
                this.#place.scrollIntoView({ block: "center" });
            }
        }

        /**
         * @param {FoundItem} item
         * @param {Entry[]} entries
         * @param {Entry[]} worked
         */
        #draw(item, entries, worked) {
            item.root.querySelectorAll(":scope > .fb-next, :scope > .fb-was").forEach((one) => one.remove());
            const current = item === this.#current;
            item.root.classList.toggle("fb-is-now", current);
            for (const value of item.values) {
                const kept = entries.find((one) => one.kind === "measured" && one.what === value.what);
                value.root.hidden = !current || kept !== undefined;
                if (kept) {
                    value.wipe();
                }
            }
            if (!this.#working) {
                return;
            }
            const was = made("div", "", "fb-was");
            for (const one of entries) {
                was.append(keptLine(one, () => this.#take(one)));
            }
            for (const one of worked) {
                was.append(made("p", `${one.calculator}${one.tank ? `, tank ${one.tank}` : ""}: ${Object.values(one.results)[0]} (${clock(one.when)})`));
            }
            if (was.childElementCount > 0) {
                item.root.append(was);
            }
            if (current) {
                item.root.append(this.#now(item));
            }
        }

        /**
         * What can be done at the step that comes next.
         * @param {FoundItem} item
         */
        #now(item) {
            const now = made("div", "", "fb-next");
            const said = made("p", "", "fb-next__said");
            said.setAttribute("role", "status");
            const open = item.values.filter((value) => !value.root.hidden);
            const main = key(item.hazard ? WORDS.read : WORDS.done, () => this.#finish(item), "fb-key--main");
            for (const value of open) {
                this.#askFor(item, value);
            }
            now.append(made("p", WORDS.place(this.#items.indexOf(item) + 1, this.#items.length), "fb-next__place"), said, main);
            if (!item.hazard) {
                now.append(this.#more(item));
            }
            return now;
        }

        /**
         * @param {FoundItem} item
         * @param {FoundValue} value
         */
        #askFor(item, value) {
            value.root.querySelector(".fb-ask__keep")?.remove();
            value.root.append(key(WORDS.keep, () => this.#measure(item, value), "fb-ask__keep"));
            value.root.onkeydown = (event) => {
                if (event.key === "Enter" && event.target instanceof HTMLInputElement) {
                    event.preventDefault();
                    this.#measure(item, value);
                }
            };
        }

        /** @param {FoundItem} item */
        #more(item) {
            const { says, part, ...step } = this.#step(item);
            return besides({
                note: (note) => this.#add({ ...step, kind: "noted", note }),
                skip: (reason) => this.#add({ ...this.#step(item), kind: "skipped", reason }),
                photo: (file) => this.#photo(item, file),
                lacking: (words) => this.#say(item.root, words),
            });
        }

        // --- keeping ---

        /** @param {FoundItem} item */
        #step(item) {
            const part = item.part ? { part: item.part } : {};
            return { ...job.common, kind: "done", page: this.#page, step: item.key, ...part, says: item.says };
        }

        /** @param {FoundItem} item */
        #finish(item) {
            this.#turn = this.#turn.then(async () => {
                if (item !== this.#current) {
                    return;
                }
                const entries = job.standing.valid.filter((one) => one.page === this.#page && one.step === item.key);
                const kept = new Set(entries.filter((one) => one.kind === "measured").map((one) => one.what));
                if (item.values.some((value) => !kept.has(value.what))) {
                    this.#say(item.root, WORDS.needs_values);
                    return;
                }
                const step = this.#step(item);
                const open = new Set(job.standing.changes.map((one) => one.change));
                const changes = [
                    ...item.opens.map((change) => ({ ...step, kind: "opened", change })),
                    ...item.closes.filter((change) => open.has(change)).map((change) => ({ ...step, kind: "closed", change })),
                ];
                await this.#add(...changes, item.hazard ? { ...step, kind: "heeded" } : step);
            });
        }

        /**
         * @param {FoundItem} item
         * @param {FoundValue} value
         */
        #measure(item, value) {
            this.#turn = this.#turn.then(() => (value.root.hidden ? undefined : this.#judge(item, value)));
        }

        /**
         * @param {FoundItem} item
         * @param {FoundValue} value
         */
        async #judge(item, value) {
            const [field, expected] = value.fields;
            if (!field) {
                return;
            }
            value.fields.forEach((one) => one.say(""));
            const action = /** @type {HTMLTextAreaElement | null} */ (value.root.querySelector(".fb-action textarea"));
            const asked = { value: field.written ?? "", ...value.limits, expected: expected?.written ?? "", within: value.within };
            try {
                const { verdict, low, high } = await record.ask({ record: "judge", ...asked });
                if (verdict === "outside" && !action?.value.trim()) {
                    this.#askForAction(value);
                    return;
                }
                const entry = { ...this.#step(item), kind: "measured", what: value.what, value: asked.value, low, high, verdict };
                const done = verdict === "outside" ? { action: action?.value.trim() } : {};
                await this.#add(elements.filled({ ...entry, ...done }));
            } catch (error) {
                const { errors, message } = /** @type {any} */ (error);
                for (const one of errors ?? []) {
                    (one.field === "expected" ? (expected ?? field) : field).say(`${one.problem.charAt(0).toUpperCase()}${one.problem.slice(1)}.`);
                }
                if (!errors) {
                    this.#say(item.root, message);
                }
                field.control.focus();
            }
        }

        /** @param {FoundValue} value */
        #askForAction(value) {
            if (!value.root.querySelector(".fb-action")) {
                const label = made("label", WORDS.action, "fb-action");
                const words = /** @type {HTMLTextAreaElement} */ (made("textarea"));
                words.rows = 2;
                words.maxLength = 2000;
                label.append(words);
                value.root.querySelector(".fb-ask__keep")?.before(label);
            }
            /** @type {HTMLElement} */ (value.root.querySelector(".fb-action textarea")).focus();
        }

        /**
         * @param {FoundItem} item
         * @param {File | null} file
         */
        async #photo(item, file) {
            if (!file) {
                return;
            }
            const blob = await shrunk(file);
            if (!blob) {
                this.#say(item.root, WORDS.no_picture);
                return;
            }
            try {
                const photo = await record.addPhoto(blob);
                const { says, part, ...step } = this.#step(item);
                await this.#add({ ...step, kind: "pictured", photo, bytes: String(blob.size) });
            } catch (error) {
                this.#say(item.root, /** @type {Error} */ (error).message);
            }
        }

        /** @param {Entry} entry */
        async #take(entry) {
            await this.#add(...job.takenBack(entry, job.standing.valid).map((of) => ({ ...job.common, kind: "undone", of })));
        }

        /** @param {EntryFields[]} entries */
        async #add(...entries) {
            try {
                await record.addAll(entries);
                await job.settled; // it hears of them too
                this.#goOn();
            } catch (error) {
                this.#say(this.#current?.root ?? this.#place, /** @type {Error} */ (error).message);
            }
        }

        /**
         * @param {Element} place
         * @param {string} words
         */
        #say(place, words) {
            let said = place.querySelector(".fb-next__said");
            if (!said) {
                said = made("p", "", "fb-next__said");
                said.setAttribute("role", "status");
                place.append(said);
            }
            said.textContent = words;
        }
    }

    for (const section of document.querySelectorAll(".fb-procedure")) {
        new Work(/** @type {HTMLElement} */ (section));
    }
})();
