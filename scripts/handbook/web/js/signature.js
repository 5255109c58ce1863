/** A place to sign by hand. What is drawn is kept as lines on a field of 600 by 200, and no picture of it. */
(() => {
    "use strict";

    const [WIDE, HIGH] = [600, 200];
    /** Nearer points than this are left out, so that a hand is some hundred points and not thousands. */
    const NEAR = 4;
    /** How long the text of it may be. */
    const MOST = 18_000;

    class Signature {
        /** @type {[number, number][][]} */
        #strokes = [];

        /** @type {HTMLCanvasElement} */
        #canvas;

        #pen = -1;

        /** What to do when it has changed. */
        onchange = () => {};

        /** @param {HTMLElement} root */
        constructor(root) {
            this.name = root.dataset.drawn ?? "";
            this.#canvas = /** @type {HTMLCanvasElement} */ (root.querySelector("canvas"));
            this.#canvas.addEventListener("pointerdown", (event) => this.#begin(event));
            this.#canvas.addEventListener("pointermove", (event) => this.#draw(event));
            for (const end of ["pointerup", "pointercancel"]) {
                this.#canvas.addEventListener(end, () => this.#end());
            }
            root.querySelector(".fb-signature__clear")?.addEventListener("click", () => {
                this.value = "";
                this.onchange();
            });
        }

        get value() {
            return this.#strokes
                .map((stroke) => stroke.map(([x, y], at) => `${at ? "L" : "M"}${x} ${y}`).join(""))
                .join("");
        }

        /** @param {string} path */
        set value(path) {
            this.#strokes = path
                .split("M")
                .filter(Boolean)
                .map((stroke) => stroke.split("L").map((point) => /** @type {[number, number]} */ (point.split(" ").map(Number))));
            this.#paint();
        }

        /** @param {PointerEvent} event */
        #begin(event) {
            if (this.value.length < MOST) {
                this.#pen = event.pointerId;
                this.#canvas.setPointerCapture(event.pointerId);
                this.#strokes.push([this.#at(event)]);
                this.#paint();
            }
        }

        /** @param {PointerEvent} event */
        #draw(event) {
            const stroke = this.#strokes.at(-1);
            const last = stroke?.at(-1);
            if (event.pointerId !== this.#pen || !stroke || !last || this.value.length > MOST) {
                return;
            }
            const [x, y] = this.#at(event);
            if (Math.hypot(x - last[0], y - last[1]) >= NEAR) {
                stroke.push([x, y]);
                this.#paint();
            }
        }

        #end() {
            if (this.#pen !== -1) {
                this.#pen = -1;
                this.onchange();
            }
        }

        /**
         * @param {PointerEvent} event
         * @returns {[number, number]}
         */
        #at(event) {
            const box = this.#canvas.getBoundingClientRect();
            const inside = (/** @type {number} */ part, /** @type {number} */ most) => Math.round(Math.min(Math.max(part, 0), 1) * most);
            return [inside((event.clientX - box.left) / box.width, WIDE), inside((event.clientY - box.top) / box.height, HIGH)];
        }

        #paint() {
            const pen = this.#canvas.getContext("2d");
            if (pen) {
                pen.clearRect(0, 0, WIDE, HIGH);
                pen.lineWidth = 4;
                pen.lineCap = "round";
                pen.strokeStyle = "#000";
                pen.stroke(new Path2D(this.value));
            }
        }
    }

    window.furrowbook.Signature = Signature;
})();
