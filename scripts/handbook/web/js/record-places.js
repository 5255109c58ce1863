/** Where entries are kept: in the browser's database, or, where it keeps none, as long as the page lasts. */
(() => {
    "use strict";

    /** What holds entries where the browser keeps none: as long as the page. */
    class Memory {
        /** @type {KeptEntry[]} */
        #kept = [];

        /** @type {Map<string, Blob>} */
        #photos = new Map();

        /** @param {KeptEntry[]} entries */
        async add(entries) {
            const fresh = entries.filter((one) => !this.#kept.some((kept) => kept.text === one.text));
            this.#kept.push(...fresh);
            return fresh.length;
        }

        /**
         * @param {string} [index]
         * @param {string} [value]
         */
        async all(index, value) {
            return this.#kept.filter((one) => !index || one[/** @type {"job"} */ (index)] === value);
        }

        async count() {
            return this.#kept.length;
        }

        /** @param {number} last */
        async after(last) {
            return { entries: this.#kept.slice(last), last: this.#kept.length };
        }

        async last() {
            return this.#kept.length;
        }

        /**
         * @param {string} id
         * @param {Blob} blob
         */
        async addPhoto(id, blob) {
            this.#photos.set(id, blob);
        }

        /** @param {string} id */
        async photo(id) {
            return this.#photos.get(id) ?? null;
        }
    }

    /** The browser's database. */
    class Database {
        /** @param {OpenDatabase} database */
        constructor(database) {
            this.database = database;
        }

        /**
         * Adds those that are not there yet, all or none; tells how many that were.
         * @param {KeptEntry[]} entries
         */
        async add(entries) {
            const transaction = this.database.transaction("entries", "readwrite", { durability: "strict" });
            const { store } = transaction;
            const byId = store.index("id");
            let added = 0;
            for (const entry of entries) {
                const same = await byId.getAll(entry.id);
                if (!same.some((kept) => kept.text === entry.text)) {
                    store.add(entry);
                    added += 1;
                }
            }
            await transaction.done;
            return added;
        }

        /**
         * All entries, or those with this value.
         * @param {string} [index]
         * @param {string} [value]
         * @returns {Promise<KeptEntry[]>}
         */
        async all(index, value) {
            return index
                ? this.database.getAllFromIndex("entries", index, value)
                : this.database.getAll("entries");
        }

        async count() {
            return this.database.count("entries");
        }

        /**
         * What was added after the entry of this place.
         * @param {number} last
         */
        async after(last) {
            const range = IDBKeyRange.lowerBound(last, true);
            const { store } = this.database.transaction("entries", "readonly");
            const [entries, keys] = await Promise.all([store.getAll(range), store.getAllKeys(range)]);
            return { entries, last: keys.at(-1) ?? last };
        }

        /** The place of the last entry. */
        async last() {
            const { store } = this.database.transaction("entries", "readonly");
            return Number((await store.openKeyCursor(null, "prev"))?.key ?? 0);
        }

        /**
         * @param {string} id
         * @param {Blob} blob
         */
        async addPhoto(id, blob) {
            const transaction = this.database.transaction("photos", "readwrite", { durability: "strict" });
            transaction.store.put({ id, blob });
            await transaction.done;
        }

        /**
         * @param {string} id
         * @returns {Promise<Blob | null>}
         */
        async photo(id) {
            return (await this.database.get("photos", id))?.blob ?? null;
        }
    }

    window.furrowbook.places = { Memory, Database };
})();
