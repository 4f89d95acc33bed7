/** Names the rooms whose tests are run, commas between them: the test runner is a process of its own. */
export const testedRooms = "DESKROUND_TESTED_ROOMS";

/** Set where tests that take seconds are run too. */
export const withSlow = "DESKROUND_SLOW_TESTS";
