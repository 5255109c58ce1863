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

/** Memory of `size` bytes that is zero but for these runs, each from a byte to the byte after its last. */
export interface Layout {
    size: number;
    runs: [number, number][];
}

/** The snapshot's, whose file also leaves out what Python's program brings into memory by itself. */
export interface SnapshotLayout extends Layout {
    /** Where in the snapshot memory begins; what stands before it speaks of the snapshot. */
    begins: number;
    /** The runs that are as the program brings them. */
    brought: [number, number][];
}

/** Files fetched over http. The names of what changes from build to build hold a hash of the content. */
export type Hosted = Record<Part | "worker" | "compiler" | "loader" | "runtime", string>;

export interface Packed {
    start: Start;
    hosted: Hosted;
    /** The same for a start from a folder, each a script. */
    folder: Record<Part | "worker", string>;
    /** How each part lies in memory once it is unpacked; its file holds the runs, one after another. */
    layouts: Record<"stdlib" | "calc", Layout> & { snapshot: SnapshotLayout };
}
