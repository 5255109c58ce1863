/** The little of Pyodide that is used here. Its own declarations leave out what a snapshot needs. */
export interface Pyodide {
    FS: { writeFile(path: string, data: Uint8Array): void };
    ffi: { PythonError: new (...args: never[]) => Error };
    runPython(code: string, options?: { globals: unknown }): unknown;
    toPy(value: object): unknown;
    pyimport(name: string): (request: string) => string;
    makeMemorySnapshot(): Uint8Array;
    _module: { HEAPU8: Uint8Array; _malloc(size: number): number; _free(at: number): void };
}
export function loadPyodide(options: object): Promise<Pyodide>;
