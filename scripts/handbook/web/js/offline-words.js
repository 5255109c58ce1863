/** Everything a reader may read about the book's being kept on the device. */
(() => {
    "use strict";

    /** By phase; what stands in braces is put in. */
    const SHORT = {
        looking: "…",
        folder: "",
        unable: "Not stored",
        declined: "Not stored",
        unstored: "Not stored",
        storing: "Storing {share} %",
        stored: "Stored",
        newer: "New build",
        outdated: "Old page",
    };

    const LONG = {
        looking: "Looking for what is stored on this device.",
        folder: "You read the book from a folder. That works without signal as it is.",
        unable: "This browser stores nothing from this address. It takes an address that begins with https, and no private window. Without signal, use a copy of the book’s folder on a computer.",
        declined: "The book is not stored on this device, because you took it away. Without signal it will not open.",
        unstored: "The book is not stored on this device yet. Without signal it will not open.",
        storing: "Storing the book for use without signal: {done} of {bytes} MB. Keep it open until it says stored.",
        stored: "Stored for use without signal: build {build} of {date}, {bytes} MB.",
        newer: "Stored for use without signal: build {build} of {date}, {bytes} MB.",
        outdated: "This page is from a build that is no longer in use. What you wrote on it stays when you open it anew.",
    };

    const NEWER = "Another build is stored and ready: {build} of {date}. It takes over when you say so.";
    const OCCUPIED = "You are in the middle of “{name}” here. Finish it, then change from another page.";

    /** @type {Record<string, string>} */
    const TROUBLES = {
        "unreachable": "The host could not be reached: “{file}” did not come. Try again when you have signal.",
        "refused": "The host does not hand out “{file}” (it answers {status}). Try again later, or tell whoever keeps the host.",
        "page-instead": "In place of “{file}” a web page came. If this network asks you to sign in, do that, then try again.",
        "cut-short": "“{file}” came cut short. Try again.",
        "other-content": "“{file}” is not the one of this build. The host may be in the middle of a renewal: try again in a few minutes.",
        "no-room": "This device has too little room. Remove something else from it, then try again.",
        "other": "That failed in a way that should not happen. Please report it: {detail}",
    };

    const RENEWAL = "A newer build could not be stored.";
    const HELD = "Another open page is in the middle of “{name}”. Finish there or close it, then press again.";
    const HELD_SILENT = "Another open page of the book does not answer. Close it, then press again.";

    /** @param {number} bytes */
    function megabytes(bytes) {
        return (bytes / 1e6).toFixed(1);
    }

    /**
     * @param {string} text
     * @param {Record<string, unknown>} values
     */
    function filled(text, values) {
        return text.replace(/\{(\w+)\}/g, (_, name) => String(values[name] ?? ""));
    }

    /** @param {StoredBuild | null} build */
    function shown(build) {
        return build ? { ...build, bytes: megabytes(build.bytes) } : {};
    }

    /** @param {OfflineState} state */
    function progress({ storing }) {
        const { done, bytes } = storing ?? { done: 0, bytes: 1 };
        return { done: megabytes(done), bytes: megabytes(bytes), share: Math.floor((100 * done) / bytes) };
    }

    /** @type {OfflineWords["trouble"]} */
    function trouble({ trouble: told, using }) {
        // Where the book is stored, it is nothing to speak of that a newer one could not be asked for.
        if (!told || (using && (told.code === "unreachable" || told.file === "offline.json"))) {
            return [];
        }
        const words = TROUBLES[told.code] ?? TROUBLES.other ?? "";
        return [...(using ? [RENEWAL] : []), filled(words, { ...told })];
    }

    /** @type {OfflineWords} */
    const words = {
        trouble,
        short: (state) => filled(SHORT[state.phase], progress(state)),
        sentences(state, occupation) {
            const values = state.phase === "storing" ? progress(state) : shown(state.using);
            const lines = [filled(LONG[state.phase], values)];
            if (state.phase === "newer") {
                lines.push(filled(NEWER, shown(state.waiting)));
                lines.push(...(occupation ? [filled(OCCUPIED, { name: occupation })] : []));
            }
            return [...lines, ...trouble(state), ...words.held(state.held)];
        },
        held: (by) => by.map((name) => name === "?" ? HELD_SILENT : filled(HELD, { name })),
        promised: (kept) => kept
            ? "The browser has promised to keep it until you take it away."
            : "The browser may take it away when the device runs short of room.",
        buttons: {
            again: "Try again",
            store: "Store the book on this device",
            use: "Change to the new build",
            later: "Not now",
            renew: "Open this page anew",
            promise: "Ask the browser to keep it",
            forget: "Take it off this device",
            install: "Put it among the apps",
        },
    };

    window.furrowbook.offlineWords = words;
})();
