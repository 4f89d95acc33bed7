/** Names the rooms whose tests are run, commas between them: the test runner is a process of its own. */
export const testedRooms = "DESKROUND_TESTED_ROOMS";

/** Names the test files that alone are run, commas between them. */
export const testedFiles = "DESKROUND_TESTED_FILES";

/** Stands for all rooms in their place. */
export const allRooms = "all";

/** Set where tests that take seconds are run too. */
export const withSlow = "DESKROUND_SLOW_TESTS";

/** Names the folder with the sources as they are: a changed copy may lack a comment. */
export const commentedSources = "DESKROUND_SOURCES";
