/** Memory that fills piece by piece, from a file that leaves out its zeros. */
class Memory {
    #run = 0;

    /** @type {number} */
    #at;

    /** @type {[number, number][]} */
    #runs;

    /** @param {import("../packed").Layout} layout */
    constructor({ size, runs }) {
        this.bytes = new Uint8Array(size);
        this.#runs = runs;
        this.#at = runs[0][0];
    }

    /** @param {Uint8Array} piece */
    add(piece) {
        let left = piece;
        while (left.length) {
            if (this.whole) {
                throw new RangeError("more bytes than there should be");
            }
            if (this.#at === this.#runs[this.#run][1]) {
                this.#run += 1;
                this.#at = this.#runs[this.#run][0];
            }
            const fits = left.subarray(0, this.#runs[this.#run][1] - this.#at);
            this.bytes.set(fits, this.#at);
            this.#at += fits.length;
            left = left.subarray(fits.length);
        }
    }

    get whole() {
        return this.#run === this.#runs.length - 1 && this.#at === this.#runs[this.#run][1];
    }
}

/** The snapshot, whose file also leaves out what Python's program brings into memory by itself. */
class SnapshotMemory extends Memory {
    #begins;
    #brought;

    /** @param {import("../packed").SnapshotLayout} layout */
    constructor(layout) {
        super(layout);
        this.#begins = layout.begins;
        this.#brought = layout.brought;
    }

    /** @param {WebAssembly.Instance} program   just started */
    take({ exports }) {
        const { buffer } = /** @type {WebAssembly.Memory} */ (exports.memory);
        for (const [from, to] of this.#brought) {
            this.bytes.set(new Uint8Array(buffer, from - this.#begins, to - from), from);
        }
    }
}
