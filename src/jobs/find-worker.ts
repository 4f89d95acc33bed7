import { runFindTask } from "./find-task.js";
import { serveTasks } from "./threads.js";

serveTasks(runFindTask);
