/**
 * The worker that runs Python. Two messages come in: `init` brings it up, `run` asks one question, and each
 * of them gets exactly one `reply`.
 */

/** Where Pyodide believes its files are. It is no address: everything it asks for is already in hand. */
const NOWHERE = "engine:/";

/** @typedef {import("./messages").Init<any>} Init */

/** @type {((request: string) => string) | null} */
let answer = null;

/** @type {(error: unknown) => boolean} */
let isPythonError = () => false;

/**
 * Pyodide fetches two files, and hides what goes wrong with the first: a wasm file that cannot be used
 * leaves it waiting for ever. So both are handed over here, and any other address is refused: nothing
 * can be fetched from anywhere once the engine runs.
 * @param {import("./messages").Parts} parts
 * @returns {Promise<never>}   rejects when a part cannot be had, or the wasm cannot be started
 */
function handOver({ module, stdlib, calc, snapshot }) {
    // For Pyodide once the start has failed: it would only cry out in the console.
    const never = new Promise(() => {});
    self.fetch = async (address) => {
        switch (String(address)) {
            case `${NOWHERE}pyodide.asm.wasm`:
                return new Response();
            case `${NOWHERE}python_stdlib.zip`:
                return new Response(stdlib ? await stdlib.catch(() => never) : "");
            default:
                throw new TypeError(`The engine fetches nothing, and was asked for ${address}`);
        }
    };
    return new Promise((_, reject) => {
        for (const part of [module, stdlib, calc, snapshot?.arrived]) {
            part?.catch(reject);
        }
        WebAssembly.instantiateStreaming = async (_response, imports) => {
            try {
                const compiled = await module;
                const instance = await WebAssembly.instantiate(compiled, imports);
                // Python's memory is looked at from here on.
                await snapshot?.arrived;
                snapshot?.memory.take(instance);
                return { module: compiled, instance };
            } catch (error) {
                reject(error);
                return never;
            }
        };
    });
}

/**
 * @param {Init} init
 * @param {import("./messages").Parts} parts
 */
async function bringUp({ start }, parts) {
    const { snapshot } = parts;
    const broken = handOver(parts);
    broken.catch(() => {}); // looked at further down
    const { loadPyodide, createPyodideModule } = await Promise.race([broken, parts.program]);
    const loading = loadPyodide({
        ...start.options,
        createPyodideModule,
        indexURL: NOWHERE,
        ...(snapshot ? { _loadSnapshot: snapshot.memory.bytes } : {}),
    });
    loading.catch(() => {}); // it may fail after what broke it
    const pyodide = await Promise.race([broken, loading]);
    // The snapshot holds memory but no files. Of the standard library it holds all that is needed.
    pyodide.FS.writeFile(start.archive, new Uint8Array(await parts.calc));
    if (!snapshot) {
        pyodide.runPython(start.plain);
    }
    answer = pyodide.pyimport(start.answer);
    // Taken now, for a Pyodide that has broken down refuses even to be looked at.
    const { PythonError } = pyodide.ffi;
    isPythonError = (error) => error instanceof PythonError;
}

/**
 * Does as the page says from here on.
 * @param {(given: any) => import("./messages").Parts} supplied   the parts, from what an `init` gives
 */
function serve(supplied) {
    /** @param {Init | import("./messages").Run} message */
    async function handle(message) {
        if (message.type === "init") {
            await bringUp(message, supplied(message.given));
            return "";
        }
        if (!answer) {
            throw new Error("asked before it was up");
        }
        return answer(message.request);
    }

    self.onmessage = async ({ data }) => {
        /** @type {import("./messages").Reply} */
        let reply;
        try {
            reply = { type: "reply", ok: true, text: await handle(data) };
        } catch (error) {
            reply = {
                type: "reply",
                ok: false,
                problem: error instanceof Missing ? error.message : String(error),
                // Where Python itself raised, the engine still stands; anything else has brought it down.
                standing: isPythonError(error),
                part: error instanceof Missing ? error.part : null,
            };
        }
        self.postMessage(reply);
    };
}
