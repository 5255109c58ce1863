/** What the build puts in front of the worker for a folder. */
declare const loadPyodide: (options: object) => Promise<import("../pyodide.mjs").Pyodide>;
declare const createPyodideModule: unknown;
