/** The contract between main and page: addresses, shapes, requests, channels, and `window.raphe`. */
export * from "./address";
export * from "./channels";
export * from "./contract";
export * from "./page-api";
export * from "./shapes";
