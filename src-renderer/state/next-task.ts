/** Goes on in a task of its own, so that clicks and keys that wait are heard before. */
export const nextTask = (): Promise<void> => new Promise((done) => setTimeout(done));
