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
}
