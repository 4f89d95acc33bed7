import { runScanTask } from "./scan-task.js";
import { serveTasks } from "./threads.js";

serveTasks(runScanTask);
