/**
 * The builds of the book that are kept on this device, each in a cache of its own. The cache is named after
 * the place of the book on its host, a number that only grows, and the build. It is whole once it holds its
 * list, which is put in last. The build in use is the whole one of the lowest number; another waits until
 * the reader lets the older go. No clock is asked, for a device's may be wrong.
 */

const book = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

/** The address of the book's folder, with its last slash. */
const ROOT = book.registration.scope;

/** What every list is called: the files of a build, with the size, type and hash of each. */
const LIST = "offline.json";

const PLACE = `furrowbook ${new URL(ROOT).pathname} `;

/** @typedef {import("./messages").List} List */
/** @typedef {import("./messages").StoredFile} StoredFile */

/** @type {Promise<Whole | null> | null} */
let lookedUp = null;

/** A build of which everything was kept. */
class Whole {
    /**
     * @param {string} name   of its cache
     * @param {List} list
     */
    constructor(name, list) {
        this.name = name;
        this.list = list;
        this.files = new Map(list.files.map((file) => [file.path, file]));
    }

    /**
     * @param {StoredFile} file
     * @returns {Promise<Response | undefined>}
     */
    async kept(file) {
        const response = await caches.match(addressOf(file), { cacheName: this.name });
        return response && unpacked(response);
    }

    /** The machines of which the pages are kept. */
    get machines() {
        return this.list.machines ?? [];
    }

    /** The files that are kept: all but those of other machines. */
    get own() {
        return wanted(this.list, this.machines);
    }

    /**
     * A file of this build that has this content, if there is one.
     * @param {string} hash
     */
    alike(hash) {
        return this.own.find((file) => file.hash === hash);
    }
}

/** On a page that is kept packed. */
const PACKED = "X-Packed";

/**
 * Pages are many and much alike, and packed they take an eighth of the room.
 * @param {Response} response
 */
function packed(response) {
    const type = response.headers.get("Content-Type") ?? "";
    if (type !== "text/html" || !response.body || !("CompressionStream" in self)) {
        return response;
    }
    const body = response.body.pipeThrough(new CompressionStream("gzip"));
    return new Response(body, { headers: { "Content-Type": type, [PACKED]: "gzip" } });
}

/**
 * All of it, before any of it is answered: a browser that ends the worker meanwhile, as when a new one is to
 * take over, would break off a page that the worker is still unpacking.
 * @param {Response} response
 */
async function unpacked(response) {
    if (!response.headers.has(PACKED) || !response.body) {
        return response;
    }
    const whole = await new Response(response.body.pipeThrough(new DecompressionStream("gzip"))).blob();
    return new Response(whole, { headers: { "Content-Type": response.headers.get("Content-Type") ?? "" } });
}

/**
 * What a device keeps of a build whose reader uses these machines.
 * @param {List} list
 * @param {string[]} machines
 */
function wanted(list, machines) {
    return list.files.filter(({ machine }) => machine === undefined || machines.includes(machine));
}

/** @param {{ path: string }} file */
function addressOf({ path }) {
    return new URL(path, ROOT).href;
}

/**
 * The caches of this book, the oldest first.
 * @returns {Promise<{ name: string, number: number, build: string }[]>}
 */
async function shelves() {
    const names = (await caches.keys()).filter((name) => name.startsWith(PLACE));
    return names
        .map((name) => {
            const [number = "", build = ""] = name.slice(PLACE.length).split(" ");
            return { name, number: Number(number), build };
        })
        .sort((one, other) => one.number - other.number);
}

/** @returns {Promise<Whole[]>} */
async function wholeBuilds() {
    const found = await Promise.all((await shelves()).map(async ({ name }) => {
        const list = await caches.match(addressOf({ path: LIST }), { cacheName: name });
        return list ? new Whole(name, await list.json()) : null;
    }));
    return found.filter((one) => one !== null);
}

/**
 * The build that pages are answered from; null while there is none.
 * @returns {Promise<Whole | null>}
 */
function inUse() {
    lookedUp ??= wholeBuilds().then(([oldest]) => oldest ?? null);
    return lookedUp;
}

/** To be called after every change of what is kept. */
function lookAgain() {
    lookedUp = null;
}

/** @param {(shelf: { name: string }) => boolean} chosen */
async function dropBuilds(chosen) {
    const going = (await shelves()).filter(chosen);
    await Promise.all(going.map(({ name }) => caches.delete(name)));
    lookAgain();
}
