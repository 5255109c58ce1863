/** The form that begins a job, or takes up one that was begun on this device. */
(() => {
    "use strict";

    const { record, job, PlainForm, EngineLine, elements } = window.furrowbook;

    const WORDS = {
        fresh: "a new job",
        two: "this work takes two people; write both names",
        who: "this is needed; write it like R. Field",
        getting_ready: "Getting ready…",
        broke: "The record cannot be kept here. Work from paper.",
        no_engine: "This browser is too old to keep a record. Work from paper.",
        paper: "Work from paper.",
        retry: "Try again",
    };

    /** How many jobs are offered to go on with. */
    const OFFERED = 20;

    /** What a job that is gone on with has already. */
    const OF_THE_JOB = ["name", "serial", "place"];

    class JobForm {
        #machine;

        #people;

        #begun;

        /** @type {HTMLFormElement} */
        #form;

        /** @type {HTMLSelectElement} */
        #others;

        #fields;

        /**
         * @param {HTMLElement} place
         * @param {number} people   that the work takes
         * @param {() => void} begun   what to do then
         */
        constructor(place, people, begun) {
            this.#machine = { id: place.dataset.machine ?? "", name: place.dataset.name ?? "" };
            this.#people = people;
            this.#begun = begun;
            this.#form = /** @type {HTMLFormElement} */ (place.querySelector("form"));
            this.#others = /** @type {HTMLSelectElement} */ (this.#form.querySelector("select"));
            this.#fields = new PlainForm(this.#form);
            this.#others.addEventListener("change", () => this.#useOther());
            this.#form.querySelector(".fb-work__not")?.addEventListener("click", () => {
                this.#form.hidden = true;
            });
            this.#form.addEventListener("submit", (event) => {
                event.preventDefault();
                this.#begin();
            });
        }

        async open() {
            new EngineLine(/** @type {HTMLElement} */ (this.#form.querySelector(".fb-engine")), /** @type {any} */ (WORDS));
            const { begun } = job.standing;
            const { who = "", second = "" } = job.current ?? {};
            const { name = this.#machine.name, serial = "", place = "" } = /** @type {Record<string, string>} */ (begun ?? {});
            this.#fields.fill({ name, serial, place, who, second });
            await this.#offerOthers();
            this.#form.hidden = false;
            const lost = /** @type {HTMLElement} */ (this.#form.querySelector(".fb-work__lost"));
            lost.hidden = record.lasting;
            lost.textContent = record.lasting ? "" : `${record.trouble} ${WORDS.paper}`;
            this.#form.scrollIntoView({ block: "start" });
            /** @type {HTMLElement} */ (this.#form.querySelector("input")).focus({ preventScroll: true });
        }

        async #begin() {
            this.#fields.show([]);
            const { who = "", second = "", name = "", serial, place } = this.#fields.values;
            const chosen = this.#others.value;
            const missing = [
                ...(chosen && !who ? [{ field: "who", problem: WORDS.who }] : []),
                ...(this.#people > 1 && !second ? [{ field: "second", problem: WORDS.two }] : []),
            ];
            if (missing.length > 0) {
                this.#fields.show(missing);
                return;
            }
            try {
                const id = chosen || record.newId();
                if (!chosen) {
                    const entry = { kind: "begun", job: id, name, who, second, serial, place, machine: this.#machine.id };
                    await record.add(elements.filled(entry));
                    navigator.storage?.persist?.(); // a browser may say no; the record's page tells how it stands
                }
                this.#form.hidden = true;
                await job.choose({ job: id, who, second });
                this.#begun();
            } catch (error) {
                const { errors, message } = /** @type {any} */ (error);
                this.#fields.show(errors ?? [{ field: "", problem: message }]);
            }
        }

        async #offerOthers() {
            const begun = await record.entries("kind", "begun");
            this.#others.replaceChildren(new Option(WORDS.fresh, ""));
            for (const one of begun.reverse().slice(0, OFFERED)) {
                const words = `${one.name}, ${elements.clock(one.when)}`;
                this.#others.append(new Option(words, one.job, false, one.job === job.current?.job));
            }
            /** @type {HTMLElement} */ (this.#form.querySelector(".fb-work__others")).hidden = begun.length === 0;
            this.#useOther();
        }

        #useOther() {
            for (const name of OF_THE_JOB) {
                const field = /** @type {HTMLElement} */ (this.#form.querySelector(`[data-entry="${name}"]`));
                field.hidden = this.#others.value !== "";
            }
        }
    }

    window.furrowbook.JobForm = JobForm;
})();
