/** The little of Node that the snapshot maker uses. */
declare module "node:crypto" {
    const crypto: object;
    export default crypto;
}
declare module "node:fs" {
    export function readFileSync(path: string): Uint8Array;
    export function readFileSync(path: string, encoding: "utf8"): string;
    export function writeFileSync(path: string, data: Uint8Array): void;
}
declare module "node:path" {
    export function join(...parts: string[]): string;
}
declare module "node:url" {
    export function pathToFileURL(path: string): URL;
}
declare const process: {
    argv: string[];
    env: Record<string, string | undefined>;
    on(event: "uncaughtException", listener: (error: Error) => void): void;
    exit(code: number): never;
};
