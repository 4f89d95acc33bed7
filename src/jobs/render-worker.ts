import { runRenderTask } from "./render-task.js";
import { serveTasks } from "./threads.js";

serveTasks(runRenderTask);
