import { createRoot } from "react-dom/client";
import "./styles/fonts.css";
import "./styles/tokens.css";
import "./styles/base.css";
import "./styles/layout.css";
import "./styles/top.css";
import "./styles/first.css";
import "./styles/notices.css";
import "./styles/sheet.css";
import "./styles/folds.css";
import "./styles/stage.css";
import "./styles/profile.css";
import { App } from "./app";
import { startApp } from "./start-app";

const page = document.getElementById("page");
if (page === null) throw new Error("the page has no place to draw in");
createRoot(page).render(<App app={startApp(window.raphe)} />);
