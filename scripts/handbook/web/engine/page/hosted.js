/** Over http workers fetch the parts themselves, from the folder this script came from. */
class Hosted extends Supply {
    /**
     * @param {boolean} plain
     * @returns {Promise<Line>}
     */
    async bringUp(plain) {
        const { hosted: names, layouts } = this.packed;
        const line = this.connect(this.#worker(names.worker));
        line.onprogress = (stage) => this.watch.progress(stage);
        const { port1, port2 } = new MessageChannel();
        const compiler = this.#compile(port1);
        try {
            await line.tell(this.init({ names, layouts, plain, module: port2 }), [port2]);
        } finally {
            compiler.terminate();
        }
        return line;
    }

    /**
     * A worker beside the one that runs Python, which gets what comes of it through this port.
     * @param {MessagePort} port
     */
    #compile(port) {
        const { hosted: names } = this.packed;
        const compiler = this.#worker(names.compiler);
        compiler.onmessage = ({ data }) => {
            if (data.type === "progress") {
                this.watch.progress();
            } else {
                port.postMessage(data);
            }
        };
        compiler.onerror = () => port.postMessage({ problem: Missing.program().message });
        compiler.postMessage(names.wasm);
        return compiler;
    }

    /** @param {string} name */
    #worker(name) {
        return new Worker(this.base + name, { type: "module" });
    }
}
