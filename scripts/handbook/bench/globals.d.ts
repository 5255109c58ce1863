/** What stands in front of the worker of a bare start, and what is written into it. */
declare const loadPyodide: typeof import("./pyodide.mjs").loadPyodide;
declare const createPyodideModule: unknown;
declare const LOCK_INFO: object;

/** What a script of the measurement leaves behind for the others, and for whoever asks the page. */
interface Watching {
    /** Whether a service worker was in control when the page began. */
    readonly controlled: boolean;
    /** Calls back once the next frame is painted, with that moment. */
    afterPaint(then: (painted: number) => void): void;
    /** Notes as the page's answer the first text that stands in the selected element. */
    noteAnswer(root: Node & ParentNode, selector: string): void;
    /** The longest block of the page's thread, in ms, that began before this moment; 0 where there was none. */
    longestUntil(moment: number): number;
}
/** How long a key took until its answer was painted, in ms: from the key, and from the question to Python. */
interface KeyTaken {
    shown: string;
    whole: number;
    asked: number | null;
}

interface Window {
    furrowbookWatch: Watching;
    furrowbookMeasured?: { at: number; shown: string; painted?: number };
    furrowbookExample?: number;
    furrowbookKey?: Promise<KeyTaken>;
    furrowbook: { engine: { ask(request: string): Promise<string> } };
}
