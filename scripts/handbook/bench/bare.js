/** A bare start over http: Pyodide as it comes, in the page itself. */
import { loadPyodide } from "./pyodide.mjs";

const pyodide = await loadPyodide();
const shown = String(pyodide.runPython("1 + 1"));
Object.assign(window, { furrowbookMeasured: { at: performance.now(), shown } });
