// The start-up code that comes with the Go toolchain; the builder puts it beside this file when it bundles.
export {};
declare global {
  class Go {
    importObject: WebAssembly.Imports;
    run(instance: WebAssembly.Instance): Promise<void>;
  }
}
