/** What stands at a step beside its large key: what is kept of it, a line each, and what else can be kept. */
(() => {
    "use strict";

    const { made, key, clock } = window.furrowbook.elements;

    const WORDS = {
        done: "✓ Done",
        heeded: "✓ Read, and met",
        pictured: "Photo",
        within: "within",
        outside: "OUTSIDE",
        back: "Take back",
        more: "Note, photo, or does not apply",
        note: "Words",
        keep_note: "Keep as a note",
        not_here: "Does not apply",
        photo: "Add a photo",
        lacking: "Write down why first.",
    };

    /**
     * What an entry says at its step; nothing for one that is told of elsewhere.
     * @param {Entry} entry
     */
    function saidOf({ kind, what, value, verdict, action, reason, note }) {
        switch (kind) {
            case "done":
            case "heeded":
            case "pictured":
                return WORDS[kind];
            case "skipped":
                return `– ${WORDS.not_here}: ${reason}`;
            case "noted":
                return `“${note}”`;
            case "measured":
                return `${what}: ${value}, ${verdict === "within" ? WORDS.within : WORDS.outside}${action ? `. ${action}` : ""}`;
            default:
                return "";
        }
    }

    /**
     * An entry in a line, with the way to take it back.
     * @param {Entry} entry
     * @param {() => void} takeBack
     */
    function keptLine(entry, takeBack) {
        const said = saidOf(entry);
        if (!said) {
            return "";
        }
        const line = made("p", "", `fb-kept-line${entry.verdict === "outside" ? " fb-kept-line--outside" : ""}`);
        const by = entry.second ? `${entry.who} and ${entry.second}` : entry.who;
        line.append(made("span", `${said} `), made("small", `${clock(entry.when)}, ${by} `));
        line.append(key(WORDS.back, takeBack, "fb-key--small"));
        return line;
    }

    /**
     * A note, a photo, and that a step does not apply, behind a fold.
     * @param {Besides} ways
     */
    function besides({ note, skip, photo, lacking }) {
        const more = made("details", "", "fb-next__more");
        const label = made("label", WORDS.note);
        const words = /** @type {HTMLTextAreaElement} */ (made("textarea"));
        words.rows = 2;
        words.maxLength = 500;
        label.append(words);
        const picture = made("label", WORDS.photo, "fb-key fb-files__in");
        const file = document.createElement("input");
        file.type = "file";
        file.accept = "image/*";
        file.addEventListener("change", () => photo(file.files?.[0] ?? null));
        picture.append(file);
        const withWords = (/** @type {(text: string) => void} */ keep) => () => {
            const text = words.value.trim();
            if (text) {
                keep(text);
            } else {
                lacking(WORDS.lacking);
                words.focus();
            }
        };
        const keys = made("div", "", "fb-keys");
        keys.append(key(WORDS.keep_note, withWords(note)), key(WORDS.not_here, withWords(skip)), picture);
        more.append(made("summary", WORDS.more), label, keys);
        return more;
    }

    Object.assign(window.furrowbook, { keptLine, besides });
})();
