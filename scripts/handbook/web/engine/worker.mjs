/**
 * The worker that runs Python. Three messages: `init` brings it up, `run` asks one question, and each of
 * them gets exactly one `reply`.
 *
 * Over http this file is a module worker as it stands. For a folder the build takes the two import lines
 * out and puts Pyodide's own text in front of the rest, since a page opened from a folder may not import.
 */
import { loadPyodide } from "./pyodide.mjs";
import createPyodideModule from "./pyodide.asm.mjs";

/** Where Pyodide believes its files are. It is no address: everything it asks for is already in hand. */
const NOWHERE = "engine:/";

/**
 * @typedef {object} Init
 * @property {"init"} type
 * @property {WebAssembly.Module} module
 * @property {ArrayBuffer} stdlib
 * @property {ArrayBuffer} calc
 * @property {MessagePort | null} snapshot   brings the snapshot in pieces; null for a plain start
 * @property {number} size   bytes of the snapshot
 * @property {import("./packed").Start} start
 */

/**
 * @typedef {object} Run
 * @property {"run"} type
 * @property {string} request
 */

/** @type {((request: string) => string) | null} */
let answer = null;

/** @type {(error: unknown) => boolean} */
let isPythonError = () => false;

/**
 * The snapshot, as memory that fills piece by piece.
 * @param {MessagePort | null} port
 * @param {number} size
 */
function arriving(port, size) {
    const memory = new Uint8Array(port ? size : 0);
    let at = 0;
    /** @type {Promise<void>} */
    const arrived = new Promise((resolve) => {
        if (!port) {
            resolve();
            return;
        }
        port.onmessage = ({ data }) => {
            memory.set(data, at);
            at += data.length;
            if (at === size) {
                resolve();
            }
        };
    });
    return { memory, arrived };
}

/**
 * Pyodide fetches two files, and hides what goes wrong with the first: a wasm file that cannot be used
 * leaves it waiting for ever. So both are handed over here, and any other address is refused: nothing
 * can be fetched from anywhere once the engine runs.
 * @param {Init} init
 * @param {Promise<void>} arrived   Python's memory is not looked at before this
 * @returns {Promise<never>}   rejects when the wasm cannot be started
 */
function handOver({ module, stdlib }, arrived) {
    self.fetch = async (address) => {
        switch (String(address)) {
            case `${NOWHERE}pyodide.asm.wasm`:
                return new Response();
            case `${NOWHERE}python_stdlib.zip`:
                return new Response(stdlib);
            default:
                throw new TypeError(`The engine fetches nothing, and was asked for ${address}`);
        }
    };
    return new Promise((_, reject) => {
        WebAssembly.instantiateStreaming = async (_response, imports) => {
            try {
                const instance = await WebAssembly.instantiate(module, imports);
                await arrived;
                return { module, instance };
            } catch (error) {
                reject(error);
                throw error;
            }
        };
    });
}

/** @param {Init} init */
async function bringUp(init) {
    const { snapshot, start } = init;
    const { memory, arrived } = arriving(snapshot, init.size);
    const broken = handOver(init, arrived);
    const loading = loadPyodide({
        ...start.options,
        createPyodideModule,
        indexURL: NOWHERE,
        ...(snapshot ? { _loadSnapshot: memory } : {}),
    });
    const pyodide = await Promise.race([loading, broken]);
    // The snapshot holds memory but no files.
    pyodide.FS.writeFile(start.archive, new Uint8Array(init.calc));
    if (!snapshot) {
        pyodide.runPython(start.plain);
    }
    answer = pyodide.pyimport(start.answer);
    // Taken now, for a Pyodide that has broken down refuses even to be looked at.
    const { PythonError } = pyodide.ffi;
    isPythonError = (error) => error instanceof PythonError;
}

/** @param {Init | Run} message */
async function handle(message) {
    if (message.type === "init") {
        await bringUp(message);
        return "";
    }
    if (!answer) {
        throw new Error("asked before it was up");
    }
    return answer(message.request);
}

self.onmessage = async ({ data }) => {
    try {
        self.postMessage({ type: "reply", ok: true, text: await handle(data) });
    } catch (error) {
        // Where Python itself raised, the engine still stands; anything else has brought it down.
        self.postMessage({ type: "reply", ok: false, standing: isPythonError(error), problem: String(error) });
    }
};
