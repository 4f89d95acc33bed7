import { runMeasureTask } from "./measure-task.js";
import { serveTasks } from "./threads.js";

serveTasks(runMeasureTask);
