/** The worker of a bare start from a folder; Pyodide's own text stands in front of it. */
self.onmessage = async ({ data }) => {
    /** @type {(part: ArrayBuffer, type: string) => string} */
    const address = (part, type) => URL.createObjectURL(new Blob([part], { type }));
    try {
        const pyodide = await loadPyodide({
            createPyodideModule,
            // The name that Pyodide puts behind this address becomes a fragment of it, which is not looked at.
            indexURL: `${address(data.wasm, "application/wasm")}#`,
            stdLibURL: address(data.stdlib, "application/zip"),
            lockFileContents: { info: LOCK_INFO, packages: {} },
            packageBaseUrl: "engine:/",
        });
        self.postMessage(String(pyodide.runPython("1 + 1")));
    } catch (error) {
        self.postMessage(String(error));
    }
};
