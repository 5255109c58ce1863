/** A part of the engine that could not be had; the message is for people. */
class Missing extends Error {
    /**
     * @param {string} message
     * @param {string} part
     * @param {ErrorOptions} [options]
     */
    constructor(message, part, options) {
        super(message, options);
        this.part = part;
    }

    /** @param {ErrorOptions} [options] */
    static program(options) {
        return new Missing("The program of the engine could not be loaded.", "program", options);
    }
}
