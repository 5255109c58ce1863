/** Every sentence a reader may see from the engine. */
const SENTENCES = {
    broke: "This answer could not be worked out. Please report it, with the figures you typed.",
    missing: "The calculators cannot start.",
    stalled: "The calculators cannot start: nothing has arrived for some time.",
    other: "The calculators cannot start in this browser.",
};

/**
 * @param {unknown} cause
 * @returns {string}
 */
function sentence(cause) {
    if (cause instanceof Missing) {
        return `${SENTENCES.missing} ${cause.message}`;
    }
    return cause instanceof Stall ? SENTENCES.stalled : SENTENCES.other;
}
