/** What the build tells the page of the files it packed. Written by `handbook.engine.pack`. */
export interface Start {
    /** Options for Pyodide, the same when the snapshot was made and when it is used. */
    options: object;
    /** Where `calc.zip` stands in Python's own files. */
    archive: string;
    /** Python that readies a start without a snapshot. */
    plain: string;
    /** The function that answers, as `module.name`. */
    answer: string;
}
/** The parts that are data. */
export type Part = "wasm" | "stdlib" | "calc" | "snapshot";

export interface Packed {
    start: Start;
    /** Files fetched over http. The names of what changes from build to build hold a hash of the content. */
    hosted: Record<Part | "worker", string>;
    /** The same for a start from a folder, each a script. */
    folder: Record<Part | "worker", string>;
    /** Bytes of each part; of the snapshot, unpacked. */
    sizes: Record<Part, number>;
}
