/** A photo as the record keeps it: small enough for a phone full of them, and without the place it was taken at. */
(() => {
    "use strict";

    /** Along its longer side (pixels): enough to read a plate. */
    const LONGEST = 1600;

    /**
     * The same photo, drawn anew; null where it cannot be read.
     * @param {File} file
     * @returns {Promise<Blob | null>}
     */
    async function shrunk(file) {
        try {
            const picture = await createImageBitmap(file);
            const scale = Math.min(1, LONGEST / Math.max(picture.width, picture.height));
            const canvas = document.createElement("canvas");
            [canvas.width, canvas.height] = [Math.round(picture.width * scale), Math.round(picture.height * scale)];
            canvas.getContext("2d")?.drawImage(picture, 0, 0, canvas.width, canvas.height);
            return await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.8));
        } catch {
            return null;
        }
    }

    window.furrowbook.shrunk = shrunk;
})();
