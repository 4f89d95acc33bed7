/**
 * For tests that count intervals on many returns, try any bytes, or wait for programs to be killed:
 * `npm test` leaves them out, `npm run test:all` has them.
 */
export const slow = { tags: ["slow"] };
