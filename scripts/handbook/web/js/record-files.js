/** The record as files: exported as JSON and as a table, and imported once it was shown what a file would add. */
(() => {
    "use strict";

    const { record } = window.furrowbook;

    /** Of a file (bytes): far more than a record of many years. */
    const MOST = 100_000_000;
    const REMIND = 7 * 86_400_000;

    const WORDS = {
        none: "Nothing is kept on this device yet.",
        never: "Never exported yet.",
        late: "Export it now: a lost phone takes it along.",
        leave: "Export it before you leave.",
        big: "This file is too big to be a record of this book.",
        nothing: "The file adds nothing that is not here already.",
        reading: "Reading…",
        broke: "The file could not be read.",
    };

    /** @param {string} when */
    const dayOf = (when) => new Date(when).toLocaleDateString("en", { day: "numeric", month: "long", year: "numeric" });

    /** @param {number} count */
    const entriesOf = (count) => (count === 1 ? "1 entry" : `${count} entries`);

    class Files {
        #root;

        /** @type {string[]} */
        #found = [];

        /** @param {HTMLElement} root */
        constructor(root) {
            this.#root = root;
            root.hidden = false;
            for (const key of root.querySelectorAll("[data-as]")) {
                key.addEventListener("click", () => this.#export(key.getAttribute("data-as") ?? "json"));
            }
            const input = /** @type {HTMLInputElement} */ (root.querySelector('input[type="file"]'));
            input.addEventListener("change", () => {
                const [file] = input.files ?? [];
                input.value = "";
                if (file) {
                    this.#read(file);
                }
            });
            this.#part(".fb-files__add").addEventListener("click", () => this.#add());
            this.#part(".fb-files__leave").addEventListener("click", () => {
                this.#part(".fb-files__found").hidden = true;
            });
            record.addEventListener("change", () => this.#tell());
            this.#tell();
        }

        /** @param {string} selector */
        #part(selector) {
            return /** @type {HTMLElement} */ (this.#root.querySelector(selector));
        }

        async #tell() {
            const count = await record.count();
            const { exported, lasting, trouble } = record;
            const late = count > 0 && (exported === "" || Date.now() - Date.parse(exported) > REMIND);
            const last = exported ? `Last exported on ${dayOf(exported)}.` : WORDS.never;
            const used = await this.#used();
            const kept = count ? `${entriesOf(count)} kept on this device${used}. ${last}` : WORDS.none;
            this.#part(".fb-files__kept").textContent = (lasting ? [kept, late ? WORDS.late : "", trouble] : [trouble, WORDS.leave]).filter(Boolean).join(" ");
        }

        async #used() {
            try {
                const { usage = 0, quota = 0 } = (await navigator.storage?.estimate?.()) ?? {};
                return usage && quota ? `; the book and they take ${Math.ceil(usage / 1e6)} MB of ${Math.floor(quota / 1e6)} MB` : "";
            } catch {
                return "";
            }
        }

        /** @param {string} as */
        async #export(as) {
            try {
                const { file } = await record.ask({ record: "write", as, entries: await record.texts() });
                const link = document.createElement("a");
                link.href = URL.createObjectURL(new Blob([file], { type: as === "csv" ? "text/csv" : "application/json" }));
                link.download = `furrowbook-record-${new Date().toISOString().slice(0, 10)}.${as}`;
                link.click();
                setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
                record.noteExport();
            } catch (error) {
                this.#show([/** @type {Error} */ (error).message], false);
            }
        }

        /** @param {File} file */
        async #read(file) {
            if (file.size > MOST) {
                this.#show([WORDS.big], false);
                return;
            }
            this.#show([WORDS.reading], false);
            try {
                const { entries, refused } = await record.ask({ record: "read", file: await file.text() });
                const here = new Set(await record.texts());
                this.#found = entries.filter((/** @type {string} */ text) => !here.has(text));
                this.#show(this.#sentences(entries.length, refused), this.#found.length > 0);
            } catch (error) {
                const { errors } = /** @type {any} */ (error);
                this.#show([WORDS.broke, ...(errors ?? []).map((/** @type {EntryError} */ one) => one.problem)], false);
            }
        }

        /**
         * What a file would add, and what of it is refused.
         * @param {number} right
         * @param {{ place: number, said: string }[]} refused
         */
        #sentences(right, refused) {
            /** @type {Record<string, number>} */
            const kinds = {};
            for (const text of this.#found) {
                const { kind } = JSON.parse(text);
                kinds[kind] = (kinds[kind] ?? 0) + 1;
            }
            const known = right - this.#found.length;
            const head = this.#found.length === 0 ? WORDS.nothing : `The file adds ${entriesOf(this.#found.length)}.`;
            return [
                head,
                ...Object.entries(kinds).map(([kind, count]) => `${kind}: ${count}`),
                ...(known ? [`Here already: ${known}`] : []),
                ...refused.slice(0, 20).map(({ place, said }) => `Not taken, entry ${place}: ${said}`),
                ...(refused.length > 20 ? [`Not taken: ${refused.length - 20} more`] : []),
            ];
        }

        /**
         * @param {string[]} sentences
         * @param {boolean} offers
         */
        #show([head = "", ...more], offers) {
            const found = this.#part(".fb-files__found");
            found.hidden = false;
            this.#part(".fb-files__found p").textContent = head;
            this.#part(".fb-files__found ul").replaceChildren(
                ...more.map((words) => {
                    const line = document.createElement("li");
                    line.textContent = words;
                    return line;
                }),
            );
            this.#part(".fb-files__add").hidden = !offers;
        }

        async #add() {
            try {
                const added = await record.addTexts(this.#found);
                this.#show([`Added: ${entriesOf(added)}.`], false);
            } catch (error) {
                this.#show([/** @type {Error} */ (error).message], true);
            }
        }
    }

    for (const root of document.querySelectorAll(".fb-files")) {
        new Files(/** @type {HTMLElement} */ (root));
    }
})();
