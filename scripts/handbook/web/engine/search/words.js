/**
 * Written to the end of the theme's search worker. lunr joins those forks of its web of words that lead on
 * alike. It compares them by their letters and the numbers of the next forks, written without a gap: "a" to
 * fork 1 with "2" to fork 34 is then the same as "a" to fork 12 with "3" to fork 4. In a book full of figures
 * it so comes to look for words that are nowhere, and fails.
 */
/** @typedef {{ final: boolean, edges: Record<string, { id: number }>, _str?: string }} Fork */
/** @type {any} */ (self).lunr.TokenSet.prototype.toString = /** @this {Fork} */ function () {
    const on = Object.keys(this.edges).sort().map((letter) => `${letter}${this.edges[letter].id},`);
    return this._str ?? `${Number(this.final)}${on.join("")}`;
};
