/** The one function of Pyodide that a bare start uses. */
export function loadPyodide(options?: object): Promise<{ runPython(code: string): unknown }>;
