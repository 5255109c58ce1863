/** Answers pages out of the build in use, and out of no other. */

/** Behind the address of the first page: the reader wants the newest build to take over. */
const NEWEST = "?newest";

/** A page for when nothing else is left: the build writes it in place of this line. */
const LAST_RESORT = "";

/**
 * Where in the book an address leads; null if it leads elsewhere.
 * @param {string} address
 */
function pathOf(address) {
    const { origin, pathname } = new URL(address);
    const whole = origin + pathname;
    if (!whole.startsWith(ROOT)) {
        return null;
    }
    const path = decoded(whole.slice(ROOT.length));
    return path === "" || path.endsWith("/") ? `${path}index.html` : path;
}

/** @param {string} path */
function decoded(path) {
    try {
        return decodeURI(path);
    } catch {
        return path; // not the name of any file
    }
}

/**
 * @param {Request} request
 * @param {string} path
 * @returns {Promise<Response>}
 */
async function answered(request, path) {
    const build = await inUse();
    const isVisit = request.mode === "navigate";
    if (!build) {
        return isVisit ? fetch(request).catch(() => lastResort(false)) : fetch(request);
    }
    const file = build.files.get(path);
    if (!file) {
        // A page from the host would be of another build.
        return isVisit ? noSuchPage(build) : fetch(request);
    }
    const response = await build.kept(file) ?? await broughtBack(build, file);
    return response ?? (isVisit ? lastResort(file.machine !== undefined) : Response.error());
}

/**
 * A file that has gone missing from a build: the host may still have the very same.
 * @param {Whole} build
 * @param {StoredFile} file
 */
async function broughtBack(build, file) {
    try {
        const response = await fetchFile(file);
        const cache = await caches.has(build.name) ? await caches.open(build.name) : null;
        await cache?.put(addressOf(file), packed(response.clone()));
        return response;
    } catch {
        return null;
    }
}

/** @param {Whole} build */
async function noSuchPage(build) {
    const file = build.files.get("404.html");
    const kept = file && await build.kept(file);
    return kept ? page(await kept.text(), 404) : lastResort(false);
}

/** @param {boolean} ofMachine   whether it is a page of a machine that is not kept */
async function lastResort(ofMachine) {
    const text = ofMachine ? LAST_RESORT.replace("<p hidden>", "<p>") : LAST_RESORT;
    return page(text, 503);
}

/**
 * A page of ours that may stand at any address, however deep. Only here is it known where the book begins,
 * and whether a newer build is stored that the reader may change to.
 * @param {string} text
 * @param {number} status
 */
async function page(text, status) {
    const headers = { "Content-Type": "text/html; charset=utf-8" };
    const first = `${ROOT}index.html`;
    let led = text.replace(/<li hidden><a href="#first">/, `<li><a href="${first}">`);
    if ((await wholeBuilds()).length > 1) {
        led = led.replace(/<li hidden><a href="#newest">/, `<li><a href="${first}${NEWEST}">`);
    }
    return new Response(led, { status, headers });
}
