/** Problems to practise on: what is answered is judged by Python or by the page, and counted on this device. */
(() => {
    "use strict";

    const { EngineLine, PracticeScore, inWords, units } = window.furrowbook;

    const WORDS = {
        choose: "Choose one first.",
        right: "Right.",
        wrong: "Not this one.",
        again: "Begin again",
        broke: "This cannot be judged here. Look at the answer and its working instead.",
        no_engine: "This browser cannot judge an answer here. The answer and its working stand below.",
        getting_ready: "Getting ready…",
        retry: "Try again",
        answer: "The answer:",
        drawing: "…",
    };

    /** Of all figures with which a problem can be drawn. */
    const SEEDS = 2 ** 31;

    /**
     * @template {Element} Found
     * @param {Element} root
     * @param {string} selector
     */
    function part(root, selector) {
        return /** @type {Found} */ (root.querySelector(selector));
    }

    /** What all problems have: a form, a place for what is said, and a first answer that counts. */
    class Problem {
        /** @type {HTMLElement} */
        section;

        /** @type {HTMLFormElement} */
        form;

        /** Whether this problem has been answered once. */
        counted = false;

        /** @type {(right: boolean) => void} */
        onfirst = () => {};

        /** @param {HTMLElement} section */
        constructor(section) {
            this.section = section;
            this.form = part(section, "form");
            part(section, ".fb-practice__worked").remove(); // for readers without a script
            this.form.addEventListener("submit", (event) => {
                event.preventDefault();
                this.check();
            });
        }

        get question() {
            const { practice = "", times = "1", safety } = this.section.dataset;
            return { id: practice, times: Number(times), safety: safety !== undefined };
        }

        check() {}

        /** Makes it new, for another round. */
        renew() {
            this.counted = false;
            this.say("");
        }

        /** @param {boolean} right */
        first(right) {
            if (!this.counted) {
                this.counted = true;
                this.onfirst(right);
            }
        }

        /**
         * @param {string} words
         * @param {"right" | "wrong" | ""} [kind]
         */
        say(words, kind = "") {
            const said = /** @type {HTMLElement} */ (part(this.section, ".fb-practice__said"));
            said.textContent = words;
            said.className = `fb-practice__said${kind && ` fb-practice__said--${kind}`}`;
        }
    }

    class Choices extends Problem {
        check() {
            const chosen = this.form.querySelector("input:checked");
            const choice = chosen?.closest(".fb-practice__choice");
            if (!choice) {
                this.say(WORDS.choose);
                return;
            }
            const right = choice.hasAttribute("data-right");
            /** @type {HTMLElement} */ (part(choice, ".fb-practice__because")).hidden = false;
            this.say(right ? WORDS.right : WORDS.wrong, right ? "right" : "wrong");
            this.first(right);
        }

        renew() {
            super.renew();
            this.form.reset();
            this.form.querySelectorAll(".fb-practice__because").forEach((one) => one.setAttribute("hidden", ""));
        }
    }

    class Figure extends Problem {
        #seed = 1; // whose figures stand in the page

        /** @type {HTMLInputElement} */
        #input;

        /** @type {HTMLButtonElement} */
        #next;

        /** @param {HTMLElement} section */
        constructor(section) {
            super(section);
            this.#input = part(section, "input");
            this.#next = part(section, ".fb-practice__next");
            new EngineLine(part(section, ".fb-engine"), /** @type {any} */ (WORDS));
            this.#next.addEventListener("click", async () => {
                await this.draw();
                this.#input.focus();
            });
            part(section, ".fb-practice__show").addEventListener("click", () => this.#work());
            units.addEventListener("change", () => this.#pose());
        }

        async check() {
            if (this.#input.value.trim() === "") {
                this.#input.focus();
                return;
            }
            const reply = await this.#ask({ answer: this.#input.value });
            if (!reply) {
                return;
            }
            if (!reply.ok) {
                this.say(reply.errors.map((one) => `${one.problem.charAt(0).toUpperCase()}${one.problem.slice(1)}.`).join(" "));
                return; // what cannot be read is no answer
            }
            this.say(reply.says ?? "", reply.right ? "right" : "wrong");
            this.first(reply.right ?? false);
            this.#next.hidden = !reply.right;
            if (reply.right) {
                this.#next.focus();
            }
        }

        /** Shows how it is found; whoever has not answered yet then has answered wrong. */
        async #work() {
            const reply = await this.#ask({ working: true });
            if (!reply?.ok || !reply.working) {
                return;
            }
            const table = document.createElement("table");
            for (const { title, shown } of reply.working) {
                const row = table.insertRow();
                const head = document.createElement("th");
                head.scope = "row";
                head.textContent = title;
                row.append(head);
                row.insertCell().textContent = shown;
            }
            table.rows[table.rows.length - 1]?.classList.add("fb-practice__answer");
            this.say(WORDS.answer);
            part(this.section, ".fb-practice__said").append(table);
            this.first(false);
            this.#next.hidden = false;
        }

        /** Draws new figures. Until they are there nobody is to work with the old ones. */
        async draw() {
            const places = [...this.section.querySelectorAll(".fb-drawn")];
            const before = places.map((place) => [...place.childNodes]);
            const seed = this.#seed;
            this.#seed = crypto.getRandomValues(new Uint32Array(1))[0] % SEEDS;
            this.renew();
            places.forEach((place) => { place.textContent = WORDS.drawing; });
            if (!(await this.#pose())) {
                this.#seed = seed;
                places.forEach((place, at) => place.replaceChildren(...(before[at] ?? [])));
            }
        }

        renew() {
            super.renew();
            this.#input.value = "";
            this.#next.hidden = true;
        }

        /** Writes the figures of the problem into its case, in the reader's units; tells whether it could. */
        async #pose() {
            const reply = await this.#ask({});
            if (reply?.ok) {
                for (const place of this.section.querySelectorAll(".fb-drawn")) {
                    place.textContent = reply.shown[place.getAttribute("data-figure") ?? ""] ?? "";
                }
            }
            return reply?.ok ?? false;
        }

        /**
         * @param {Record<string, unknown>} more
         * @returns {Promise<PracticeReply | Refused | null>}
         */
        async #ask(more) {
            const { engine } = window.furrowbook;
            const practice = JSON.parse(this.section.dataset.problem ?? "{}");
            try {
                if (engine) {
                    const request = { practice, seed: String(this.#seed), units: units.text, ...more };
                    return JSON.parse(await engine.ask(JSON.stringify(request)));
                }
            } catch {
                // it is said below
            }
            this.say(WORDS.broke);
            return null;
        }
    }

    /** The practice of a page: its problems, and the line below the last that says how it goes. */
    class Practice {
        /** @type {Problem[]} */
        #problems;

        #score;

        #line = document.createElement("div");

        /** @param {HTMLElement[]} sections */
        constructor(sections) {
            this.#problems = sections.map((one) => ("problem" in one.dataset ? new Figure(one) : new Choices(one)));
            const questions = this.#problems.map((one) => one.question);
            this.#score = new PracticeScore(sections[0]?.dataset.page ?? "", questions);
            for (const problem of this.#problems) {
                problem.onfirst = (right) => {
                    this.#score.count(problem.question.id, right);
                    this.#show();
                };
            }
            this.#line.className = "fb-practice-score";
            this.#line.setAttribute("role", "status");
            sections.at(-1)?.after(this.#line);
            if (this.#score.isDue && this.#score.answered === this.#score.asked) {
                this.#score.again();
                this.#drawAll();
            }
            this.#show();
        }

        #drawAll() {
            for (const problem of this.#problems) {
                if (problem instanceof Figure) {
                    problem.draw();
                } else {
                    problem.renew();
                }
            }
        }

        #show() {
            const paragraph = document.createElement("p");
            paragraph.textContent = this.#words();
            this.#line.replaceChildren(paragraph);
            if (this.#score.answered === this.#score.asked) {
                const again = document.createElement("button");
                again.type = "button";
                again.textContent = WORDS.again;
                again.addEventListener("click", () => {
                    this.#score.again();
                    this.#drawAll();
                    this.#show();
                    this.#problems[0]?.section.scrollIntoView();
                });
                this.#line.append(again);
            }
        }

        #words() {
            const { answered, asked, right, passed, due } = this.#score;
            if (answered < asked) {
                const left = `${answered} of ${asked} answered, ${right} right at the first try.`;
                return passed === null || answered > 0 ? left : `Time to practise this again. ${left}`;
            }
            if (!passed) {
                return `Not passed yet: ${right} of ${asked} right at the first try. Asked for are 85 %, and all on safety.`;
            }
            const when = due ? `It comes again on ${inWords(due)}.` : "It comes again before the season.";
            return `Passed: ${right} of ${asked} right at the first try. ${when}`;
        }
    }

    const sections = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("[data-practice]")]);
    if (sections.length > 0) {
        new Practice(sections);
    }

    // --- what is due ---

    /** @param {Element} item */
    function showState(item) {
        const score = new PracticeScore(item.getAttribute("data-page") ?? "", []);
        const due = score.due ? inWords(score.due) : "before the season";
        const words = score.passed === null ? "not done yet" : score.isDue ? "due now" : `passed, again ${due}`;
        part(item, ".fb-due__state").textContent = words;
        item.classList.toggle("fb-due--now", score.isDue);
    }

    for (const block of document.querySelectorAll(".fb-due")) {
        const items = block.querySelectorAll("[data-page]");
        items.forEach(showState);
        const season = /** @type {HTMLInputElement} */ (part(block, "#fb-season"));
        /** @type {HTMLElement} */ (part(block, ".fb-due__season")).hidden = false;
        season.value = PracticeScore.season;
        season.addEventListener("change", () => {
            PracticeScore.setSeason(season.value);
            items.forEach(showState);
        });
    }
})();
