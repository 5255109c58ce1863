/**
 * What a reader answered of the practice of a page, kept on this device: a round of it, whether that was passed, and
 * when it comes again. Only the first answer to a problem counts.
 */
(() => {
    "use strict";

    const KEEP = "furrowbook.practice";
    const FORMAT = 1;

    /** Days until it comes again, once it was passed for the first, the second and the third time. */
    const GAPS = [2, 7, 21];
    /** Days before the season, for whoever has passed all of these. */
    const BEFORE_SEASON = 28;
    /** What is asked for, of the answers that are not about safety; of those that are, all. */
    const ENOUGH = 0.85;

    const DAY = 86_400_000;

    /** What the browser refused to keep: it then lasts as long as the page. */
    /** @type {PracticeRecord | null} */
    let refused = null;

    /** @returns {PracticeRecord} */
    function load() {
        if (refused) {
            return refused;
        }
        try {
            const read = JSON.parse(localStorage.getItem(KEEP) ?? "{}");
            if (read?.format === FORMAT && typeof read.pages === "object") {
                const pages = Object.entries(read.pages).filter(([, own]) => typeof own?.round === "object");
                return { ...read, pages: Object.fromEntries(pages) };
            }
        } catch {
            // The browser keeps nothing, or something else stands there: it begins anew.
        }
        return { format: FORMAT, season: "", pages: {} };
    }

    /** @param {PracticeRecord} record */
    function save(record) {
        try {
            localStorage.setItem(KEEP, JSON.stringify(record));
            refused = null;
        } catch {
            refused = record;
        }
    }

    /** The day, as the reader's own clock has it, in so many days. */
    function day(later = 0) {
        const now = new Date();
        const then = new Date(Date.UTC(now.getFullYear(), now.getMonth(), now.getDate()) + later * DAY);
        return then.toISOString().slice(0, 10);
    }

    /** @param {string} date */
    function inWords(date) {
        const options = /** @type {const} */ ({ day: "numeric", month: "long", year: "numeric", timeZone: "UTC" });
        return new Date(`${date}T00:00:00Z`).toLocaleDateString("en", options);
    }

    /**
     * Some weeks before the next season that begins on this day of the year.
     * @param {string} season
     */
    function beforeSeason(season) {
        const now = new Date();
        for (let year = now.getFullYear(); season; year += 1) {
            const begins = Date.parse(`${year}${season.slice(4)}T00:00:00Z`) - BEFORE_SEASON * DAY;
            const due = Number.isNaN(begins) ? "" : new Date(begins).toISOString().slice(0, 10);
            if (due === "" || due > day()) {
                return due;
            }
        }
        return "";
    }

    class PracticeScore {
        #page;

        /** @type {PracticeQuestion[]} */
        #questions;

        #record = load();

        /**
         * @param {string} page
         * @param {PracticeQuestion[]} questions
         */
        constructor(page, questions) {
            this.#page = page;
            this.#questions = questions;
        }

        /** @returns {PracticePage} */
        get #own() {
            return (this.#record.pages[this.#page] ??= { round: {}, passed: null, stage: 0, due: "" });
        }

        /** @param {string} id */
        answers(id) {
            return this.#own.round[id] ?? [];
        }

        get asked() {
            return this.#questions.reduce((sum, one) => sum + one.times, 0);
        }

        get answered() {
            return this.#questions.reduce((sum, one) => sum + Math.min(this.answers(one.id).length, one.times), 0);
        }

        get right() {
            return this.#questions.reduce((sum, one) => sum + this.#right(one), 0);
        }

        /** Whether the last whole round was passed; null before there was one. */
        get passed() {
            return this.#own.passed;
        }

        get due() {
            return this.#own.due;
        }

        get isDue() {
            return this.#own.passed !== null && this.#own.due !== "" && this.#own.due <= day();
        }

        /**
         * Counts the first answer to a problem.
         * @param {string} id
         * @param {boolean} right
         */
        count(id, right) {
            const question = this.#questions.find((one) => one.id === id);
            this.#record = load(); // another page may have counted meanwhile
            const before = this.answers(id);
            if (!question || before.length >= question.times) {
                return;
            }
            this.#own.round[id] = [...before, right];
            if (this.answered === this.asked) {
                this.#settle();
            }
            save(this.#record);
        }

        /** Begins a new round. */
        again() {
            this.#record = load();
            this.#own.round = {};
            save(this.#record);
        }

        /** @param {PracticeQuestion} question */
        #right(question) {
            return this.answers(question.id).filter(Boolean).length;
        }

        #settle() {
            const own = this.#own;
            const safety = this.#questions.filter((one) => one.safety);
            const rest = this.#questions.filter((one) => !one.safety);
            const of = rest.reduce((sum, one) => sum + one.times, 0);
            const right = rest.reduce((sum, one) => sum + this.#right(one), 0);
            own.passed = safety.every((one) => this.#right(one) === one.times) && right >= ENOUGH * of;
            if (!own.passed) {
                own.due = day();
            } else if (own.due === "" || own.due <= day()) {
                own.stage = Math.min(own.stage + 1, GAPS.length + 1);
                const gap = GAPS[own.stage - 1];
                own.due = gap ? day(gap) : beforeSeason(this.#record.season);
            }
        }

        static get season() {
            return load().season;
        }

        /** @param {string} season */
        static setSeason(season) {
            const record = load();
            record.season = season;
            for (const own of Object.values(record.pages)) {
                if (own.stage > GAPS.length) {
                    own.due = beforeSeason(season);
                }
            }
            save(record);
        }
    }

    window.furrowbook.PracticeScore = PracticeScore;
    window.furrowbook.inWords = inWords;
    window.furrowbook.today = () => day();
})();
