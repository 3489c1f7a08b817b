// All tests with one browser. Started by page_test.py.
import {after} from "node:test";
import {browser} from "./browser.mjs";
import "./tasks.test.mjs";
import "./complaints.test.mjs";
import "./queues.test.mjs";
import "./looks.test.mjs";

after(() => browser.close());
