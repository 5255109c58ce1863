/** Working through a procedure: hazards read, values measured and steps done, one after the other, in the record. */
(() => {
    "use strict";

    const { record, job, PlainForm, EngineLine, WorkItem, elements } = window.furrowbook;
    const { made, clock } = elements;

    const WORDS = {
        done: "Done",
        read: "Read, and met",
        keep: "Keep this value",
        more: "Note, photo, or does not apply",
        note: "Words",
        keep_note: "Keep as a note",
        not_here: "Does not apply",
        photo: "Add a photo",
        back: "Take back",
        action: "It is outside its limits. What was done about it?",
        needs_words: "Write down why first.",
        needs_values: "Keep the value first.",
        within: "within",
        outside: "OUTSIDE",
        end: "All steps of this page are in the record.",
        begin: "Keep a record as you work",
        go_on: (/** @type {string} */ name) => `Go on with ${name}`,
        place: (/** @type {number} */ at, /** @type {number} */ of) => `${at} of ${of}`,
        leave: "Leave the record",
        two: "This work takes two people. Write both names.",
        getting_ready: "Getting ready…",
        broke: "The record cannot be kept here. Work from paper.",
        no_engine: "This browser is too old to keep a record. Work from paper.",
        retry: "Try again",
        no_picture: "This photo could not be read. Try another one.",
    };

    /** Of a photo (pixels), along its longer side: enough to read a plate. */
    const LONGEST = 1600;

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

        // --- beginning ---

        #beginning() {
            const form = /** @type {HTMLFormElement} */ (this.#place.querySelector("form"));
            const begin = /** @type {HTMLButtonElement} */ (this.#place.querySelector(".fb-work__begin"));
            const fields = new PlainForm(form);
            begin.addEventListener("click", async () => {
                if (job.current && this.#named) {
                    this.#working = true;
                    this.#show(true);
                    return;
                }
                new EngineLine(/** @type {HTMLElement} */ (form.querySelector(".fb-engine")), /** @type {any} */ (WORDS));
                const { who = "", second = "" } = job.current ?? {};
                fields.fill({ name: job.standing.begun?.name ?? this.#place.dataset.name ?? "", serial: job.standing.begun?.serial ?? "", place: job.standing.begun?.place ?? "", who, second });
                await this.#offerOthers(form);
                form.hidden = false;
                form.scrollIntoView({ block: "start" });
                /** @type {HTMLElement} */ (form.querySelector("input")).focus({ preventScroll: true });
            });
            form.querySelector(".fb-work__not")?.addEventListener("click", () => { form.hidden = true; });
            form.addEventListener("submit", async (event) => {
                event.preventDefault();
                fields.show([]);
                const { who = "", second = "", name = "", serial, place } = fields.values;
                if (this.#people > 1 && !second) {
                    fields.show([{ field: "second", problem: WORDS.two }]);
                    return;
                }
                const chosen = /** @type {HTMLSelectElement} */ (form.querySelector("select")).value;
                try {
                    const id = chosen || record.newId();
                    if (!chosen) {
                        const machine = this.#place.dataset.machine;
                        const entry = { kind: "begun", job: id, name, who, second, serial, place, machine };
                        await record.add(/** @type {EntryFields} */ (Object.fromEntries(Object.entries(entry).filter(([, value]) => value))));
                    } else if (!who) {
                        fields.show([{ field: "who", problem: "this is needed; write it like R. Field" }]);
                        return;
                    }
                    form.hidden = true;
                    this.#working = true;
                    await job.choose({ job: id, who, second });
                    this.#show(true);
                } catch (error) {
                    const { errors, message } = /** @type {any} */ (error);
                    fields.show(errors ?? [{ field: "", problem: message }]);
                }
            });
        }

        /** Jobs that were begun on this device and can be gone on with. */
        /** @param {HTMLFormElement} form */
        async #offerOthers(form) {
            const begun = await record.entries("kind", "begun");
            const select = /** @type {HTMLSelectElement} */ (form.querySelector("select"));
            select.replaceChildren(new Option("a new job", ""));
            for (const one of begun.reverse().slice(0, 20)) {
                select.append(new Option(`${one.name}, ${clock(one.when)}`, one.job, false, one.job === job.current?.job));
            }
            /** @type {HTMLElement} */ (form.querySelector(".fb-work__others")).hidden = begun.length === 0;
            const fresh = () => {
                for (const name of ["name", "serial", "place"]) {
                    /** @type {HTMLElement} */ (form.querySelector(`[data-entry="${name}"]`)).hidden = select.value !== "";
                }
            };
            select.onchange = fresh;
            fresh();
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
                was.append(this.#line(one));
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

        /** An entry in a line, with the way to take it back. */
        /** @param {Entry} entry */
        #line(entry) {
            const { kind } = entry;
            const line = made("p", "", `fb-kept-line${entry.verdict === "outside" ? " fb-kept-line--outside" : ""}`);
            const words = {
                done: () => `✓ ${WORDS.done}`,
                heeded: () => `✓ ${WORDS.read}`,
                skipped: () => `– ${WORDS.not_here}: ${entry.reason}`,
                noted: () => `“${entry.note}”`,
                pictured: () => "Photo",
                measured: () => `${entry.what}: ${entry.value}, ${entry.verdict === "within" ? WORDS.within : WORDS.outside}${entry.action ? `. ${entry.action}` : ""}`,
            };
            const said = words[/** @type {keyof typeof words} */ (kind)]?.();
            if (said === undefined) {
                return "";
            }
            const by = entry.second ? `${entry.who} and ${entry.second}` : entry.who;
            line.append(made("span", `${said} `), made("small", `${clock(entry.when)}, ${by} `));
            line.append(key(WORDS.back, () => this.#take(entry), "fb-key--small"));
            return line;
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
            const more = made("details", "", "fb-next__more");
            const label = made("label", WORDS.note);
            const words = /** @type {HTMLTextAreaElement} */ (made("textarea"));
            words.rows = 2;
            words.maxLength = 500;
            label.append(words);
            const photo = made("label", WORDS.photo, "fb-key fb-files__in");
            const file = document.createElement("input");
            file.type = "file";
            file.accept = "image/*";
            file.addEventListener("change", () => this.#photo(item, file.files?.[0] ?? null));
            photo.append(file);
            const keys = made("div", "", "fb-keys");
            const withWords = (/** @type {(text: string) => Record<string, string>} */ entry) => () => {
                if (words.value.trim()) {
                    this.#add({ ...this.#step(item), ...entry(words.value.trim()) });
                } else {
                    this.#say(item.root, WORDS.needs_words);
                    words.focus();
                }
            };
            keys.append(
                key(WORDS.keep_note, () => {
                    if (words.value.trim()) {
                        const { says, part, ...step } = this.#step(item);
                        this.#add({ ...step, kind: "noted", note: words.value.trim() });
                    } else {
                        this.#say(item.root, WORDS.needs_words);
                    }
                }),
                key(WORDS.not_here, withWords((reason) => ({ kind: "skipped", reason })), "fb-key--not"),
                photo,
            );
            more.append(made("summary", WORDS.more), label, keys);
            return more;
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
                await this.#add(/** @type {EntryFields} */ (Object.fromEntries(Object.entries({ ...entry, ...done }).filter(([, one]) => one))));
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
            let blob = null;
            try {
                const picture = await createImageBitmap(file);
                const scale = Math.min(1, LONGEST / Math.max(picture.width, picture.height));
                const canvas = document.createElement("canvas");
                [canvas.width, canvas.height] = [Math.round(picture.width * scale), Math.round(picture.height * scale)];
                canvas.getContext("2d")?.drawImage(picture, 0, 0, canvas.width, canvas.height);
                blob = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.8));
            } catch {
                // said below
            }
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
            const with_it = job.standing.valid.filter(
                (one) => entry.kind === "done" && ["opened", "closed"].includes(one.kind) && one.step === entry.step && one.page === entry.page,
            );
            await this.#add(...[entry, ...with_it].map((one) => ({ ...job.common, kind: "undone", of: one.id })));
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
