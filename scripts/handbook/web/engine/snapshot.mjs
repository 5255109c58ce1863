/**
 * Makes the memory snapshot the engine starts from: Python running, `calc` imported and every
 * calculator called once. Run under Node at build time:
 *
 *     node snapshot.mjs FOLDER_OF_PYODIDE CALC_ZIP START_JSON OUTPUT BROUGHT
 *
 * BROUGHT gets what the program itself brings into memory, before Python has run.
 *
 * The same inputs must give the same bytes on any machine at any hour, so whatever differs between
 * two runs (clocks, random bytes, the machine's own language and paths) is fixed before Pyodide loads.
 */
import nodeCrypto from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

/** 1 January 2000. Any moment would do: nothing in `calc` reads a clock. */
const FIXED_TIME = 946684800000;

/** Bytes: the pieces in which memory is swept. */
const LARGEST = 4_194_304;
const SMALLEST = 8;

/**
 * @template {ArrayBufferView} View
 * @param {View} view
 */
function zeros(view) {
    new Uint8Array(view.buffer, view.byteOffset, view.byteLength).fill(0);
    return view;
}

function fixTheWorld() {
    process.env.TZ = "UTC";
    Date.now = () => FIXED_TIME;
    performance.now = () => 0;
    Math.random = () => 0.5;
    Object.assign(crypto, { getRandomValues: zeros });
    // Under Node, Python's random bytes come from here rather than from getRandomValues.
    Object.assign(nodeCrypto, { randomFillSync: zeros });
    // Under Windows there is none of these, in a browser the number is 0.
    Object.assign(process, { getuid: () => 0, getgid: () => 0, geteuid: () => 0, getegid: () => 0 });
}

/**
 * What the program brings into memory, once it has been started.
 * @returns {() => Uint8Array}
 */
function watchMemory() {
    const { instantiate } = WebAssembly;
    let brought = new Uint8Array();
    WebAssembly.instantiate = /** @type {typeof instantiate} */ (async (/** @type {any} */ ...given) => {
        const made = /** @type {any} */ (await Reflect.apply(instantiate, WebAssembly, given));
        const { memory } = (made.instance ?? made).exports;
        if (memory) { // Pyodide also tries out small programs, which have none
            brought = new Uint8Array(memory.buffer).slice();
        }
        return made;
    });
    return () => brought;
}

/**
 * Empties memory that Python has used and given back, for what is left in it would be packed too. All of
 * it that can be had below the top is taken, the largest pieces first, emptied, and given back.
 * @param {import("./pyodide.mjs").Pyodide["_module"]} module
 */
function sweep(module) {
    const top = module._malloc(LARGEST);
    module._free(top);
    const taken = [];
    for (let size = LARGEST; size >= SMALLEST; size = Math.min(size - SMALLEST, Math.floor(size / 1.5))) {
        let at = module._malloc(size);
        while (at + size <= top) {
            module.HEAPU8.fill(0, at, at + size);
            taken.push(at);
            at = module._malloc(size);
        }
        module._free(at);
    }
    taken.forEach((at) => module._free(at));
}

async function main() {
    const [folder, calcZip, startJson, output, brought] = process.argv.slice(2);
    fixTheWorld();
    const memory = watchMemory();
    const start = JSON.parse(readFileSync(startJson, "utf8"));
    const { loadPyodide } = await import(pathToFileURL(join(folder, "pyodide.mjs")).href);
    const pyodide = await loadPyodide({
        ...start.options,
        // Pyodide under Node looks here for nothing but its own files.
        indexURL: folder,
        _makeSnapshot: true,
    });
    pyodide.FS.writeFile(start.archive, readFileSync(calcZip));
    // No name of ours may stay behind in Python's globals: a JavaScript object there spoils the snapshot.
    pyodide.runPython(start.warm_up, { globals: pyodide.toPy({}) });
    sweep(pyodide._module);
    writeFileSync(output, pyodide.makeMemorySnapshot());
    writeFileSync(brought, memory());
}

// Left alone, Node would print the line an error happened in, which in Pyodide is all of Pyodide.
process.on("uncaughtException", (error) => {
    console.error(error.message);
    process.exit(1);
});
await main();
