import { serveTasks } from "../../dist/jobs/threads.js";
import { runCoverageTask } from "./coverage-task.mjs";

serveTasks(runCoverageTask);
