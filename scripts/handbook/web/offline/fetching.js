/** Files from the host, each of which has to be the very one of its build. */

/** Why something could not be kept; the page has the words. */
class Trouble extends Error {
    /** @param {import("./messages").Told} told */
    constructor(told) {
        super(told.code);
        this.told = told;
    }
}

/**
 * What a host or a network sends in place of a file is often a page of its own, and called a success.
 * @param {Response} response
 */
function isPage(response) {
    return (response.headers.get("Content-Type") ?? "").includes("text/html");
}

/**
 * @param {string} path
 * @param {RequestCache} cache
 * @returns {Promise<Response>}
 */
async function fromHost(path, cache) {
    let response;
    try {
        response = await fetch(addressOf({ path }), { cache });
    } catch {
        throw new Trouble({ code: "unreachable", file: path });
    }
    if (!response.ok) {
        throw new Trouble({ code: "refused", file: path, status: response.status });
    }
    return response;
}

/** @param {ArrayBuffer} bytes */
async function hashOf(bytes) {
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    return btoa(String.fromCharCode(...digest));
}

/**
 * One file of a build, as it is kept: with the type it should have, whatever the host says of it.
 * @param {StoredFile} file
 * @returns {Promise<Response>}   rejects with a `Trouble`
 */
async function fetchFile(file) {
    let trouble = null;
    // What the browser kept of an earlier visit will do if it is the right one; else it is asked for anew.
    for (const cache of /** @type {const} */ (["no-cache", "reload"])) {
        const response = await fromHost(file.path, cache);
        const bytes = await response.arrayBuffer().catch(() => new ArrayBuffer(0));
        if (await hashOf(bytes) === file.hash) {
            return new Response(bytes, { headers: { "Content-Type": file.type } });
        }
        trouble = new Trouble({ code: fault(file, response, bytes), file: file.path });
    }
    throw trouble;
}

/**
 * @param {StoredFile} file
 * @param {Response} response
 * @param {ArrayBuffer} bytes
 */
function fault(file, response, bytes) {
    if (isPage(response) && file.type !== "text/html") {
        return "page-instead";
    }
    return bytes.byteLength < file.size ? "cut-short" : "other-content";
}

/**
 * The list of the build that the host has now.
 * @returns {Promise<List>}   rejects with a `Trouble`
 */
async function newestList() {
    const response = await fromHost(LIST, "no-store");
    const list = await response.json().catch(() => null);
    if (!isList(list)) {
        throw new Trouble({ code: isPage(response) ? "page-instead" : "other-content", file: LIST });
    }
    return list;
}

/**
 * @param {any} value
 * @returns {value is List}
 */
function isList(value) {
    return typeof value?.build === "string" && typeof value.date === "string"
        && Array.isArray(value.files) && value.files.length > 0
        && value.files.every((/** @type {any} */ file) =>
            typeof file?.path === "string" && typeof file.type === "string"
            && Number.isInteger(file.size) && typeof file.hash === "string");
}
