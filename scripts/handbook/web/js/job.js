/**
 * The job that the reader keeps a record of: which one, by whom, and how it stands. A line at the foot of every
 * page tells of it, with the changes that are open.
 */
(() => {
    "use strict";

    const { record } = window.furrowbook;
    const BOOK = document.querySelector('meta[name="furrowbook-book"]')?.getAttribute("content") ?? "";
    const KEEP = `furrowbook.job.${BOOK}`;
    const TOP = new URL("../../", /** @type {HTMLScriptElement} */ (document.currentScript).src);

    const WORDS = {
        open: (/** @type {number} */ count) => `${count} temporary ${count === 1 ? "change" : "changes"} open`,
        none: "No temporary change open",
        lost: "Nothing is kept: work from paper",
        record: "The record",
    };

    /**
     * How a job stands by its entries, which are in the order of their time: what was taken back does not count.
     * @param {Entry[]} entries
     * @returns {JobStanding}
     */
    function standing(entries) {
        const undone = new Set(entries.filter((one) => one.kind === "undone").map((one) => one.of));
        const valid = entries.filter((one) => one.kind !== "undone" && !undone.has(one.id));
        /** @type {Map<string, Entry>} */
        const changes = new Map();
        for (const one of valid) {
            if (one.kind === "opened") {
                changes.set(one.change, one);
            } else if (one.kind === "closed") {
                changes.delete(one.change);
            }
        }
        return { valid, undone, changes: [...changes.values()], begun: valid.find((one) => one.kind === "begun") ?? null };
    }

    class Job extends EventTarget {
        /** @type {CurrentJob | null} */
        current = null;

        /** @type {JobStanding} */
        standing = standing([]);

        #bar = document.createElement("div");

        /** The job whose entries these are, and the place in the record up to which they were read. */
        #of = "";

        /** @type {Entry[]} */
        #entries = [];

        #last = 0;

        /** One reading after another. */
        /** @type {Promise<void>} */
        #turn = Promise.resolve();

        constructor() {
            super();
            this.#bar.className = "fb-job fb-on-screen";
            this.#bar.setAttribute("role", "region");
            this.#bar.setAttribute("aria-label", "Your job");
            this.#take();
            record.addEventListener("change", () => this.refresh());
            addEventListener("storage", (event) => {
                if (event.key === KEEP) {
                    this.#take();
                }
            });
        }

        /**
         * Takes up a job, or leaves it where it is.
         * @param {CurrentJob | null} job
         */
        choose(job) {
            this.current = job;
            try {
                if (job) {
                    localStorage.setItem(KEEP, JSON.stringify(job));
                } else {
                    localStorage.removeItem(KEEP);
                }
            } catch {
                // It then lasts as long as the page.
            }
            return this.refresh();
        }

        /** What every entry of this job holds. */
        get common() {
            const { job = "", who = "", second = "" } = this.current ?? {};
            return { job, who, ...(second ? { second } : {}) };
        }

        /** Reads the entries anew, and tells whoever shows them. */
        refresh() {
            this.#turn = this.#turn.then(async () => {
                await this.#read().catch(() => {}); // what the record cannot do, it says on its own page
                this.#show();
                this.dispatchEvent(new Event("change"));
            });
            return this.#turn;
        }

        /** Fulfilled once all is read that was added before. */
        get settled() {
            return this.#turn;
        }

        /** Reads what was added since; of another job, everything. */
        async #read() {
            const id = this.current?.job ?? "";
            if (id !== this.#of) {
                this.#of = id;
                this.#last = await record.last();
                this.#entries = id ? await record.entries("job", id) : [];
            } else {
                const { entries, last } = await record.after(this.#last);
                const known = new Set(this.#entries.slice(-1000).map((one) => one.id));
                this.#entries.push(...entries.filter((one) => one.job === id && !known.has(one.id)));
                this.#last = last;
            }
            this.standing = standing(this.#entries);
        }

        /** @param {Entry[]} entries */
        standingOf(entries) {
            return standing(entries);
        }

        /**
         * The numbers of all that goes when this entry is taken back: with a step, what it opened and closed.
         * @param {Entry} entry
         * @param {Entry[]} valid   of its job
         */
        takenBack({ id, kind, page, step }, valid) {
            const along = kind === "done" ? ["opened", "closed"] : [];
            const others = valid.filter((one) => along.includes(one.kind) && one.page === page && one.step === step);
            return [id, ...others.map((one) => one.id)];
        }

        #take() {
            try {
                const { job, who, second = "" } = JSON.parse(localStorage.getItem(KEEP) ?? "{}");
                this.current = [job, who, second].every((one) => typeof one === "string") ? { job, who, second } : null;
            } catch {
                this.current = null;
            }
            if (this.current) {
                this.refresh();
            }
        }

        #show() {
            if (!this.current) {
                this.#bar.remove();
                return;
            }
            const link = document.createElement("a");
            link.href = new URL("record/index.html", TOP).href;
            link.textContent = this.standing.begun?.name ?? WORDS.record;
            const { changes } = this.standing;
            const list = document.createElement(changes.length > 0 ? "details" : "p");
            if (changes.length > 0) {
                const head = document.createElement("summary");
                head.textContent = WORDS.open(changes.length);
                const items = document.createElement("ul");
                for (const one of changes) {
                    const item = document.createElement("li");
                    item.textContent = one.change;
                    items.append(item);
                }
                list.append(head, items);
                list.toggleAttribute("open", this.#bar.querySelector("details")?.open ?? false);
            } else {
                list.textContent = record.lasting ? WORDS.none : WORDS.lost;
            }
            this.#bar.replaceChildren(link, list);
            if (!this.#bar.isConnected) {
                document.body.append(this.#bar);
            }
        }
    }

    window.furrowbook.job = new Job();
})();
