/** What stands in front of the worker of a bare start, and what is written into it. */
declare const loadPyodide: typeof import("./pyodide.mjs").loadPyodide;
declare const createPyodideModule: unknown;
declare const LOCK_INFO: object;
