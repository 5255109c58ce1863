/** In a folder only the page can come by the parts, and hands them over. */

/**
 * The snapshot, whose memory fills piece by piece.
 * @param {MessagePort} port
 * @param {import("../packed").SnapshotLayout} layout
 */
function arriving(port, layout) {
    const memory = new SnapshotMemory(layout);
    /** @type {Promise<void>} */
    const arrived = new Promise((resolve) => {
        port.onmessage = ({ data }) => {
            memory.add(data);
            if (memory.whole) {
                resolve();
            }
        };
    });
    return { memory, arrived };
}

/**
 * @param {import("./messages").FolderGiven} given
 * @returns {import("./messages").Parts}
 */
function fromPage({ module, stdlib, calc, snapshot, layout }) {
    return {
        // Pyodide's own text stands in front of this one.
        program: Promise.resolve({ loadPyodide, createPyodideModule }),
        module: Promise.resolve(module),
        stdlib: stdlib && Promise.resolve(stdlib),
        calc: Promise.resolve(calc),
        snapshot: snapshot && arriving(snapshot, layout),
    };
}

serve(fromPage);
