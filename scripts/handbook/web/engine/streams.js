/**
 * Hands each piece of a stream to `take`, in order.
 * @template Piece
 * @param {ReadableStream<Piece>} stream
 * @param {(piece: Piece) => void} take
 */
async function eachPiece(stream, take) {
    const reader = stream.getReader();
    for (let next = await reader.read(); !next.done; next = await reader.read()) {
        take(next.value);
    }
}

/**
 * @param {ReadableStream<Uint8Array<ArrayBuffer>>} stream   a wasm file
 * @returns {Promise<WebAssembly.Module>}
 */
function compiled(stream) {
    // A browser insists on the type, which some hosts do not know and a folder does not give.
    return WebAssembly.compileStreaming(new Response(stream, { headers: { "Content-Type": "application/wasm" } }));
}

/**
 * @param {ReadableStream<Uint8Array<ArrayBuffer>>} stream   a gzip file
 * @returns {ReadableStream<Uint8Array<ArrayBuffer>>}
 */
function gunzipped(stream) {
    return stream.pipeThrough(new DecompressionStream("gzip"));
}
