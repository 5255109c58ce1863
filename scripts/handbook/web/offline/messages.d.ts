/** What goes to and fro between the pages and the service worker, and what the build tells both. */

/**
 * A file of a build. `hash` is its SHA-256 in base64. Written by `handbook.offline`. In a book of many machines
 * the files of each name the `machine` that they are for: a device keeps those of the reader's alone.
 */
export interface StoredFile {
    path: string;
    type: string;
    size: number;
    hash: string;
    /** What a page takes up when it is kept, packed. */
    packed?: number;
    machine?: string;
}
/** As it is kept it also has the `machines` of which all is kept. */
export interface List {
    build: string;
    date: string;
    files: StoredFile[];
    machines?: string[];
}

export interface StoredBuild {
    build: string;
    date: string;
    bytes: number;
}

/** Why a build could not be stored. The words are the page's. */
export interface Told {
    code: string;
    file?: string;
    status?: number;
    detail?: string;
}

/**
 * From a page: tell the state, bring the host's build, let the newest take over, keep nothing any more. With
 * `store` goes the machine that the reader has chosen, if any.
 */
export interface Asked {
    type: "state" | "store" | "use" | "forget";
    machine?: string;
}

/** To every page, whenever something has changed. */
export interface State {
    type: "state";
    using: StoredBuild | null;
    waiting: StoredBuild | null;
    storing: { done: number; bytes: number } | null;
    trouble: Told | null;
}

/** To the page that asked for the newest: who is in the middle of something, `?` for one that did not say. */
export interface Held {
    type: "held";
    by: string[];
}
