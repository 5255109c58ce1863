/**
 * A worker for Python's program alone. Unpacking and compiling it takes as long as unpacking the snapshot,
 * which the worker that runs Python does meanwhile.
 */
self.onmessage = async ({ data: name }) => {
    /** @type {import("./messages").Compiled} */
    let reply;
    try {
        reply = { type: "compiled", module: await fetched("wasm", name, (stream) => compiled(gunzipped(stream))) };
    } catch (error) {
        reply = { type: "compiled", problem: error instanceof Missing ? error.message : String(error) };
    }
    self.postMessage(reply);
};
