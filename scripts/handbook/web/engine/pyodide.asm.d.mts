declare const createPyodideModule: (settings: object) => Promise<object>;
export default createPyodideModule;
