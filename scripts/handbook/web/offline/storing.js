/** Brings the host's build onto this device: all of it, or none that anyone would see. */

/** Files on their way at once. */
const LANES = 4;

/** Between two reports of progress, in ms. The pages also hear by them that the work goes on. */
const PACE = 500;

/** How far it has come, in bytes; null while nothing is being brought. */
/** @type {{ done: number, bytes: number } | null} */
let progress = null;

/** Why the last attempt ended early. */
/** @type {import("./messages").Told | null} */
let trouble = null;

/** @type {Promise<void> | null} */
let storing = null;

/** The machine that a reader chose while something was being brought; it is brought next. */
/** @type {string | null} */
let next = null;

/**
 * Only once at a time, however many pages ask.
 * @param {Client} asker
 * @param {import("./messages").Asked} asked
 * @returns {Promise<void>}
 */
function store(asker, { machine = "" }) {
    if (storing) {
        next = machine;
        return storing;
    }
    storing = attempt(machine).finally(() => {
        storing = null;
    });
    return storing.then(() => {
        const following = next;
        next = null;
        return following === null || following === machine ? undefined : store(asker, { type: "store", machine: following });
    });
}

/** @param {string} machine   that the reader uses; empty if none */
async function attempt(machine) {
    const telling = setInterval(tellState, PACE);
    try {
        await bring(await newestList(), machine);
        trouble = null;
    } catch (error) {
        trouble = error instanceof Trouble ? error.told : { code: "other", detail: String(error) };
    }
    clearInterval(telling);
    progress = null;
    await tellState();
}

/**
 * @param {List} list
 * @param {string} machine
 */
async function bring(list, machine) {
    const before = (await wholeBuilds()).flatMap((build) => build.machines);
    const machines = [...new Set([...before, machine])].filter((id) => list.files.some((file) => file.machine === id));
    const kept = await shelves();
    const number = (kept.at(-1)?.number ?? 0) + 1;
    // What an interrupted attempt has kept of this build is used.
    const name = kept.find(({ build }) => build === list.build)?.name ?? `${PLACE}${number} ${list.build}`;
    try {
        await fill(name, { ...list, machines });
    } catch (error) {
        if (error instanceof Trouble && error.told.code === "no-room") {
            const used = await inUse();
            await dropBuilds((shelf) => shelf.name === name && shelf.name !== used?.name);
        }
        throw error;
    }
    lookAgain();
    const used = await inUse();
    await dropBuilds((shelf) => shelf.name !== name && shelf.name !== used?.name);
}

/**
 * Keeps every file of the list that a device with its machines needs and has not yet, and the list at last.
 * @param {string} name   of the cache
 * @param {List} list
 */
async function fill(name, list) {
    const cache = await caches.open(name);
    const there = new Set((await cache.keys()).map(({ url }) => url));
    const files = wanted(list, list.machines ?? []);
    const missing = files.filter((file) => !there.has(addressOf(file)));
    const bytes = sizeOf(files);
    const others = (await wholeBuilds()).filter((build) => build.name !== name);
    if (missing.length > 0) {
        progress = { done: bytes - sizeOf(missing), bytes };
        await tellState();
    }
    await inLanes(missing, async (file) => {
        await put(cache, addressOf(file), await fromOther(others, file) ?? await fetchFile(file));
        if (progress) {
            progress.done += file.size;
        }
    });
    if (missing.length > 0 || !there.has(addressOf({ path: LIST }))) {
        await put(cache, addressOf({ path: LIST }), new Response(JSON.stringify(list)));
    }
}

/** @param {StoredFile[]} files */
function sizeOf(files) {
    return files.reduce((sum, { size }) => sum + size, 0);
}

/**
 * What they take up on the device.
 * @param {StoredFile[]} files
 */
function roomOf(files) {
    return files.reduce((sum, { size, packed: less }) => sum + (less ?? size), 0);
}

/**
 * The same content out of another build, where there is any, so that a new build costs only what is new.
 * @param {Whole[]} others
 * @param {StoredFile} file
 */
async function fromOther(others, file) {
    for (const other of others) {
        const same = other.alike(file.hash);
        const kept = same && await other.kept(same);
        if (kept) {
            return new Response(await kept.arrayBuffer(), { headers: { "Content-Type": file.type } });
        }
    }
    return null;
}

/**
 * @param {Cache} cache
 * @param {string} address
 * @param {Response} response
 */
async function put(cache, address, response) {
    try {
        await cache.put(address, packed(response));
    } catch (error) {
        if (error instanceof DOMException && error.name === "QuotaExceededError") {
            throw new Trouble({ code: "no-room" });
        }
        throw error;
    }
}

/**
 * Does the work for each item, a few at a time; after a failure no new one is begun.
 * @template Item
 * @param {Item[]} items
 * @param {(item: Item) => Promise<void>} work
 */
async function inLanes(items, work) {
    const queue = items.values();
    /** @type {unknown[]} */
    const failures = [];
    const lane = async () => {
        for (const item of queue) {
            if (failures.length > 0) {
                return;
            }
            await work(item).catch((error) => failures.push(error));
        }
    };
    await Promise.all(Array.from({ length: LANES }, lane));
    if (failures.length > 0) {
        throw failures[0];
    }
}
