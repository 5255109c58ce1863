/**
 * Makes the memory snapshot the engine starts from: Python running, `calc` imported and every
 * calculator called once. Run under Node at build time:
 *
 *     node snapshot.mjs FOLDER_OF_PYODIDE CALC_ZIP START_JSON OUTPUT
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

async function main() {
    const [folder, calcZip, startJson, output] = process.argv.slice(2);
    fixTheWorld();
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
    writeFileSync(output, pyodide.makeMemorySnapshot());
}

// Left alone, Node would print the line an error happened in, which in Pyodide is all of Pyodide.
process.on("uncaughtException", (error) => {
    console.error(error.message);
    process.exit(1);
});
await main();
