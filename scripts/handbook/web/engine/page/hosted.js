/** Over http the worker fetches the parts itself, from the folder this script came from. */
class Hosted extends Supply {
    /**
     * @param {boolean} plain
     * @returns {Promise<Line>}
     */
    async bringUp(plain) {
        const { hosted: names, layouts } = this.packed;
        const line = this.connect(new Worker(this.base + names.worker, { type: "module" }));
        line.onprogress = (stage) => this.watch.progress(stage);
        await line.tell(this.init({ names, layouts, plain }));
        return line;
    }
}
