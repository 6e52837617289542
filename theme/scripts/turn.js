// @ts-check
// Ends a task, so that messages and whatever else waits get their turn between two pieces of work. A timer would wait
// longer each time.

/** @returns {Promise<void>} kept in a task of its own */
export const turn = () => new Promise((resolve) => {
  const { port1, port2 } = new MessageChannel();
  port1.onmessage = () => {
    port1.close();
    resolve();
  };
  port2.postMessage(null);
});
