/** What goes to and fro between the page and the worker that runs Python. */
import type { Pyodide } from "../pyodide.mjs";
import type { Hosted, Packed, SnapshotLayout, Start } from "../packed";

/** How far a start has come; the watch in the page has its own patience with each. */
export type Stage =
    | "fetching" // what no start can do without is on its way
    | "unpacking" // only the snapshot is still on its way
    | "waking" // Python starts from the snapshot
    | "starting"; // Python starts without it

/** Brings Python up. Over http it says where the parts are; for a folder it holds them. */
export interface Init<Given = HostedGiven | FolderGiven> {
    type: "init";
    start: Start;
    given: Given;
}
export interface HostedGiven {
    names: Hosted;
    layouts: Packed["layouts"];
    /** Whether to start without the snapshot. */
    plain: boolean;
    /** Says once what came of Python's program. */
    module: MessagePort;
}
export interface FolderGiven {
    module: WebAssembly.Module;
    /** Python's own library, which a snapshot holds; null for a start with it. */
    stdlib: ArrayBuffer | null;
    calc: ArrayBuffer;
    /** Brings the snapshot in pieces; null for a start without it. */
    snapshot: MessagePort | null;
    layout: SnapshotLayout;
}

/** What comes of Python's program: the program, or a problem in words for people. */
export type Compiled = { type: "compiled" } & ({ module: WebAssembly.Module } | { problem: string });

/** Asks one question. */
export interface Run {
    type: "run";
    request: string;
}

/** Something moved, and perhaps a new stage began. */
export interface Progress {
    type: "progress";
    stage?: Stage;
}

/** The one reply to an `init` or a `run`. */
export type Reply =
    | { type: "reply"; ok: true; text: string }
    | {
          type: "reply";
          ok: false;
          problem: string;
          /** Whether the engine can still be asked. */
          standing: boolean;
          /** The part that could not be had, if that was it; the problem is then written for people. */
          part: string | null;
      };

/** All that Python needs, each when it is there. */
export interface Parts {
    program: Promise<{
        loadPyodide(options: object): Promise<Pyodide>;
        createPyodideModule: unknown;
    }>;
    module: Promise<WebAssembly.Module>;
    /** Null for a start with the snapshot, which holds it. */
    stdlib: Promise<ArrayBuffer> | null;
    calc: Promise<ArrayBuffer>;
    /** Memory that is whole once `arrived`; null for a start without it. */
    snapshot: { memory: SnapshotMemory; arrived: Promise<unknown> } | null;
}
