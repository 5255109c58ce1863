/**
 * The record of this device: entries that are only ever added, in the browser's database. What is told to be kept
 * has been written through to the disk.
 */
(() => {
    "use strict";

    const { places } = window.furrowbook;

    const VERSION = 1;
    const BOOK = document.querySelector('meta[name="furrowbook-book"]')?.getAttribute("content") ?? "";
    const NAME = `furrowbook.${BOOK}.record`;
    const BUILD = document.querySelector('meta[name="furrowbook-build"]')?.getAttribute("content") ?? "";
    const EXPORTED = `${NAME}.exported`;

    /** A browser that was shut down amid its work may fail at first to open what it keeps, and not a moment later. */
    const PASSING = ["AbortError", "TimeoutError", "UnknownError"];

    /** How long to wait (ms) before each further try. */
    const WAITS = [200, 600, 1800];

    const WORDS = {
        denied: "This browser keeps nothing from this page: it may be a private window. What you enter lasts as long as the page is open.",
        unopened: "The browser did not open the record that it keeps here. What was kept may be safe: close the browser and open this page anew. What you enter now lasts as long as the page is open.",
        newer: "A newer build of this book has kept a record here. This build can show and export it, and adds nothing to it. Open the newer build to go on.",
        full: "There is no room left on this device, and this entry is not kept. Export the record, make room, then try again.",
        closed: "Another page has renewed the record. Open this page anew to go on; what was kept is safe.",
        failed: "The browser did not keep this entry. Try again; if it fails once more, write it down on paper.",
        folder: "From a folder, the browser may drop what it keeps. Export the record after each hand-over.",
    };

    /** A refusal in words for the reader. */
    class Unkept extends Error {}

    /** A number that no other device makes: RFC 9562, version 4. A page on a plain address has no `randomUUID`. */
    function newId() {
        if (crypto.randomUUID) {
            return crypto.randomUUID();
        }
        const bytes = crypto.getRandomValues(new Uint8Array(16));
        bytes[6] = (bytes[6] & 0x0f) | 0x40;
        bytes[8] = (bytes[8] & 0x3f) | 0x80;
        const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
        return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
    }

    class RecordStore extends EventTarget {
        /** Why entries cannot be added, or do not last; empty while all is well. */
        trouble = "";

        /** Whether entries can be added. */
        open = true;

        /** Whether entries stay when the page is left. */
        lasting = true;

        /** @type {Promise<PlaceOfRecord> | null} */
        #opened = null;

        /** @type {BroadcastChannel | null} */
        #others = null;

        build = BUILD;

        /** @returns {Promise<PlaceOfRecord>} */
        ready() {
            this.#opened ??= this.#open();
            return this.#opened;
        }

        /**
         * Adds an entry once Python has found nothing wrong with it. Rejects with an `Unkept` in words, or with
         * a `Wrong` that tells what is wrong in which field.
         * @param {EntryFields} fields   all but its number, its time and the build
         */
        async add(fields) {
            const entry = RecordStore.#whole(fields);
            const { text } = await this.ask({ record: "check", entry: JSON.stringify(entry) });
            await this.addTexts([text]);
            return entry;
        }

        /**
         * Adds several, all or none, once nothing is wrong with any.
         * @param {EntryFields[]} several
         */
        async addAll(several) {
            const texts = [];
            for (const fields of several) {
                texts.push((await this.ask({ record: "check", entry: JSON.stringify(RecordStore.#whole(fields)) })).text);
            }
            await this.addTexts(texts);
        }

        /**
         * What is wrong with an entry that is not added yet.
         * @param {EntryFields} fields
         * @returns {Promise<EntryError[]>}
         */
        async problems(fields) {
            try {
                await this.ask({ record: "check", entry: JSON.stringify(RecordStore.#whole(fields)) });
                return [];
            } catch (error) {
                if (error instanceof window.furrowbook.Wrong) {
                    return error.errors;
                }
                throw error;
            }
        }

        /** @param {EntryFields} fields */
        static #whole(fields) {
            return /** @type {Entry} */ ({ id: newId(), when: new Date().toISOString(), build: BUILD, ...fields });
        }

        /**
         * Adds entries that Python has found right, each as its one text; tells how many were new.
         * @param {string[]} texts
         */
        async addTexts(texts) {
            const place = await this.ready();
            if (!this.open) {
                throw new Unkept(this.trouble);
            }
            const entries = texts.map((text) => {
                const { id, kind, when, job = "", page = "" } = JSON.parse(text);
                return { id, kind, when, job, page, text };
            });
            const added = await place.add(entries).catch((error) => {
                throw new Unkept(error?.name === "QuotaExceededError" ? WORDS.full : WORDS.failed, { cause: error });
            });
            this.#others?.postMessage("added");
            this.#tell();
            return added;
        }

        /**
         * The entries, of a job or of a kind or all, in the order of their time.
         * @param {"job" | "kind"} [index]
         * @param {string} [value]
         * @returns {Promise<Entry[]>}
         */
        async entries(index, value) {
            return RecordStore.#ordered(await (await this.ready()).all(index, value));
        }

        /** @param {KeptEntry[]} kept */
        static #ordered(kept) {
            return kept
                .sort((a, b) => (a.when < b.when ? -1 : a.when > b.when ? 1 : a.id < b.id ? -1 : 1))
                .map((one) => JSON.parse(one.text));
        }

        async count() {
            return (await this.ready()).count();
        }

        /** The place of the last entry, for `after`. */
        async last() {
            return (await this.ready()).last();
        }

        /**
         * What was added since, and the place of the last of it.
         * @param {number} last
         */
        async after(last) {
            const found = await (await this.ready()).after(last);
            return { entries: RecordStore.#ordered(found.entries), last: found.last };
        }

        /** The text of every entry. */
        async texts() {
            return (await (await this.ready()).all()).map((one) => one.text);
        }

        /** @param {Blob} blob */
        async addPhoto(blob) {
            const place = await this.ready();
            if (!this.open) {
                throw new Unkept(this.trouble);
            }
            const id = newId();
            await place.addPhoto(id, blob).catch((error) => {
                throw new Unkept(error?.name === "QuotaExceededError" ? WORDS.full : WORDS.failed, { cause: error });
            });
            return id;
        }

        /** @param {string} id */
        async photo(id) {
            return (await this.ready()).photo(id);
        }

        /**
         * What Python says to this. Rejects with a `Wrong` where it refuses, with an `Unkept` where it is not there.
         * @param {object} request
         * @returns {Promise<any>}
         */
        async ask(request) {
            const { engine, Wrong } = window.furrowbook;
            if (!engine) {
                throw new Unkept("This browser is too old to keep a record here. Write it down on paper.");
            }
            engine.start();
            const reply = JSON.parse(await engine.ask(JSON.stringify(request)));
            if (!reply.ok) {
                throw new Wrong(reply.errors);
            }
            return reply;
        }

        get exported() {
            try {
                return localStorage.getItem(EXPORTED) ?? "";
            } catch {
                return "";
            }
        }

        noteExport() {
            try {
                localStorage.setItem(EXPORTED, new Date().toISOString());
            } catch {
                // it then asks once more
            }
            this.#tell();
        }

        newId() {
            return newId();
        }

        #tell() {
            this.dispatchEvent(new Event("change"));
        }

        /** @param {string} why */
        #shut(why) {
            this.open = false;
            this.trouble = why;
            this.#tell();
        }

        async #open() {
            if (location.protocol === "file:") {
                this.trouble = WORDS.folder;
            }
            try {
                const database = await this.#connect();
                this.#others = new BroadcastChannel(NAME);
                this.#others.onmessage = () => this.#tell();
                return new places.Database(database);
            } catch (error) {
                this.trouble = RecordStore.#passing(error) ? WORDS.unopened : WORDS.denied;
                this.lasting = false;
                return new places.Memory();
            }
        }

        /** The database; of a newer build, or one that a newer build has taken over, as it is. */
        async #connect() {
            /** @type {DatabaseCallbacks} */
            const callbacks = {
                upgrade(made) {
                    const entries = made.createObjectStore("entries", { autoIncrement: true });
                    for (const index of ["id", "kind", "job"]) {
                        entries.createIndex(index, index);
                    }
                    made.createObjectStore("photos", { keyPath: "id" });
                },
                blocking: (_, __, event) => {
                    /** @type {IDBDatabase} */ (event.target).close();
                    this.#opened = null;
                    this.#shut(WORDS.closed);
                },
                terminated: () => {
                    this.#opened = null;
                },
            };
            for (let tries = 0; ; ) {
                try {
                    return await idb.openDB(NAME, this.open ? VERSION : undefined, callbacks);
                } catch (error) {
                    if (/** @type {Error} */ (error)?.name === "VersionError") {
                        this.#shut(WORDS.newer);
                    } else if (RecordStore.#passing(error) && tries < WAITS.length) {
                        await new Promise((go) => setTimeout(go, WAITS[tries]));
                        tries += 1;
                    } else {
                        throw error;
                    }
                }
            }
        }

        /** @param {any} error */
        static #passing(error) {
            return PASSING.includes(error?.name);
        }
    }

    window.furrowbook.Unkept = Unkept;
    window.furrowbook.record = new RecordStore();
})();
