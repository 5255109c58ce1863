/** The page's part in keeping the book on the device: it asks the service worker, and minds what it says. */
(() => {
    "use strict";

    const DECLINED = "furrowbook.offline";
    const RENEWED = "furrowbook.renewed";

    /** Storing that says nothing for this long (ms) has been ended by the browser; it is asked for again. */
    const SILENCE = 20_000;

    /** How long (ms) a page is left to itself once it is quiet. */
    const REST = 500;

    /** How long (ms) a page that stays open goes without asking the host for a newer build. */
    const OFTEN = 600_000;

    const script = /** @type {HTMLScriptElement} */ (document.currentScript);
    const ROOT = new URL("../../", script.src).href;
    const PROGRAM_FILE = "service-worker.js";
    const PROGRAM = new URL(PROGRAM_FILE, ROOT).href;
    const BUILD = document.querySelector("meta[name='furrowbook-build']")?.getAttribute("content");

    /** @type {OfflineState} */
    const AT_FIRST = { phase: "looking", using: null, waiting: null, storing: null, trouble: null, held: [] };

    /**
     * A browser may refuse to keep anything.
     * @template Result
     * @param {() => Result} work
     * @returns {Result | null}
     */
    function attempt(work) {
        try {
            return work();
        } catch {
            return null;
        }
    }

    class Offline extends EventTarget {
        state = AT_FIRST;

        /** @type {ServiceWorkerRegistration | null} */
        #registration = null;

        /** When the host was last asked for a newer build, and when the worker was last heard, on the page's own clock. */
        #asked = -OFTEN;
        #heard = 0;

        begin() {
            if (location.protocol === "file:") {
                this.#enter({ phase: "folder" });
            } else if (!navigator.serviceWorker) {
                this.#enter({ phase: "unable" });
            } else if (attempt(() => localStorage.getItem(DECLINED)) === "no") {
                this.#enter({ phase: "declined" });
            } else {
                this.#listen();
                navigator.serviceWorker.controller?.postMessage({ type: "state" });
                this.#whenQuiet(() => this.#ask());
            }
        }

        get occupation() {
            const inForm = window.furrowbook.calculators.some((one) => one.occupied);
            if (!inForm && !document.querySelector("[data-procedure]")) {
                return "";
            }
            return document.querySelector("h1")?.textContent?.trim() ?? document.title;
        }

        async promised() {
            return await navigator.storage?.persisted?.() ?? null;
        }

        async promise() {
            await navigator.storage?.persist?.();
            this.dispatchEvent(new Event("change"));
        }

        /** Brings the host's build onto the device, or what is missing of it. */
        store() {
            attempt(() => localStorage.removeItem(DECLINED));
            this.#enter({ phase: this.state.using ? this.state.phase : "looking", trouble: null, held: [] });
            this.#listen();
            this.#ask();
        }

        /** What the worker is asked for: the book, and the pages of the reader's machine. */
        get #wish() {
            return { type: "store", machine: window.furrowbook.machine?.id ?? "" };
        }

        /** Lets the newest build take over, in every open page. */
        use() {
            if (this.state.phase === "outdated") {
                location.reload();
            } else if (!this.occupation) {
                const worker = this.#registration?.waiting ?? this.#registration?.active ?? navigator.serviceWorker.controller;
                worker?.postMessage({ type: "use" });
            }
        }

        forget() {
            attempt(() => localStorage.setItem(DECLINED, "no"));
            const worker = this.#registration?.active ?? navigator.serviceWorker.controller;
            worker?.postMessage({ type: "forget" });
            this.#registration = null;
            this.#enter({ ...AT_FIRST, phase: "declined" });
        }

        #listening = false;

        #listen() {
            if (this.#listening) {
                return;
            }
            this.#listening = true;
            navigator.serviceWorker.addEventListener("message", (event) => this.#hear(event));
            addEventListener("online", () => this.#ask());
            addEventListener("furrowbook-machine", () => this.#ask());
            addEventListener("pageshow", (event) => {
                if (event.persisted) { // it was put aside, and may have missed a change
                    const worker = navigator.serviceWorker.controller ?? this.#registration?.active;
                    worker?.postMessage({ type: "state" });
                }
            });
            document.addEventListener("visibilitychange", () => {
                const due = this.state.trouble || performance.now() - this.#asked > OFTEN;
                if (!document.hidden && due) {
                    this.#ask();
                }
            });
            addEventListener("appinstalled", () => this.promise());
            setInterval(() => {
                if (this.state.storing && performance.now() - this.#heard > SILENCE) {
                    this.#ask();
                }
            }, SILENCE / 4);
        }

        /** Has the worker look for what the host has, once the browser knows the worker. */
        async #ask() {
            if (this.state.phase === "declined") {
                return;
            }
            this.#asked = performance.now();
            this.#heard = performance.now();
            try {
                this.#registration = await navigator.serviceWorker.register(PROGRAM, { updateViaCache: "none" });
                (await active(this.#registration)).postMessage(this.#wish);
            } catch (error) {
                await this.#refused(error);
            }
        }

        /**
         * The browser would not take the worker: because of what the host sent, or by itself.
         * @param {unknown} error
         */
        async #refused(error) {
            const worker = navigator.serviceWorker.controller;
            if (worker) {
                worker.postMessage(this.#wish); // it is there already, and knows what is stored
                return;
            }
            const trouble = await fault();
            const forbidden = error instanceof DOMException && !trouble;
            this.#enter(forbidden
                ? { phase: "unable", trouble: null }
                : { phase: "unstored", trouble: trouble ?? { code: "other-content", file: PROGRAM_FILE } });
        }

        /** @param {MessageEvent} event */
        #hear({ data, source, ports }) {
            if (!(source instanceof ServiceWorker) || source.scriptURL !== PROGRAM) {
                return; // another book's, on the same host
            }
            this.#heard = performance.now();
            if (data.type === "occupied?") {
                ports[0]?.postMessage(this.occupation);
            } else if (data.type === "held") {
                this.#enter({ held: data.by });
            } else if (data.type === "state" && this.state.phase !== "declined") {
                this.#take(data);
            }
        }

        /** @param {import("../offline/messages").State} told */
        #take({ using, waiting, storing, trouble }) {
            const outdated = using !== null && using.build !== BUILD;
            if (outdated && !this.occupation && attempt(() => sessionStorage.getItem(RENEWED)) !== `${using.build} ${location.href}`) {
                attempt(() => sessionStorage.setItem(RENEWED, `${using.build} ${location.href}`));
                location.reload();
                return;
            }
            this.#enter({ phase: phaseOf(outdated, using, waiting, storing), using, waiting, storing, trouble, held: [] });
        }

        /** @param {Partial<OfflineState>} change */
        #enter(change) {
            this.state = { ...this.state, ...change };
            this.dispatchEvent(new Event("change"));
        }

        /**
         * When the page has come, and Python neither comes up nor works something out: that goes first.
         * @param {() => void} work
         */
        #whenQuiet(work) {
            const { engine } = window.furrowbook;
            const look = () => {
                if (!engine || engine.quiet) {
                    engine?.removeEventListener("quiet", look);
                    setTimeout(work, REST);
                }
            };
            const loaded = () => {
                engine?.addEventListener("quiet", look);
                look();
            };
            if (document.readyState === "complete") {
                loaded();
            } else {
                addEventListener("load", loaded, { once: true });
            }
        }
    }

    /**
     * @param {boolean} outdated
     * @param {StoredBuild | null} using
     * @param {StoredBuild | null} waiting
     * @param {object | null} storing
     */
    function phaseOf(outdated, using, waiting, storing) {
        if (!using) {
            return storing ? "storing" : "unstored";
        }
        if (outdated) {
            return "outdated";
        }
        return waiting ? "newer" : "stored";
    }

    /**
     * What is wrong with the worker's program as the host hands it out; null if nothing is.
     * @returns {Promise<import("../offline/messages").Told | null>}
     */
    async function fault() {
        const file = PROGRAM_FILE;
        const response = await fetch(PROGRAM, { cache: "no-store" }).catch(() => null);
        if (!response) {
            return { code: "unreachable", file };
        }
        if (!response.ok) {
            return { code: "refused", file, status: response.status };
        }
        const type = response.headers.get("Content-Type") ?? "";
        return type.includes("javascript") ? null : { code: "page-instead", file };
    }

    /**
     * The worker of a registration, once it works.
     * @param {ServiceWorkerRegistration} registration
     * @returns {Promise<ServiceWorker>}
     */
    function active(registration) {
        const { active: worker, installing } = registration;
        const coming = installing ?? registration.waiting;
        if (worker || !coming) {
            return worker ? Promise.resolve(worker) : Promise.reject(new Error("no worker"));
        }
        return new Promise((resolve, reject) => {
            coming.addEventListener("statechange", () => {
                if (coming.state === "activated") {
                    resolve(coming);
                } else if (coming.state === "redundant") {
                    reject(new Error("the worker did not start"));
                }
            });
        });
    }

    window.furrowbook.offline = new Offline();
})();
