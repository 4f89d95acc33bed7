import { runPlaceTask } from "./place-task.js";
import { serveTasks } from "./threads.js";

serveTasks(runPlaceTask);
