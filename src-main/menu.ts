import { Menu, type MenuItemConstructorOptions } from "electron";
import type { MenuCommand } from "#core/bridge/channels";

/** The application menu; its own items are sent to the page as commands. */
export function setMenu(send: (command: MenuCommand) => void): void {
  // The keys are shown here and heard by the page, which knows whether a text field is being edited.
  const item = (id: MenuCommand, label: string, accelerator?: string): MenuItemConstructorOptions => ({
    id,
    label,
    click: () => send(id),
    ...(accelerator === undefined ? {} : { accelerator, registerAccelerator: false }),
  });
  const line: MenuItemConstructorOptions = { type: "separator" };
  const template: MenuItemConstructorOptions[] = [
    {
      label: "Case",
      submenu: [
        item("new-case", "New case"),
        item("open-scans", "Open scans…", "CmdOrCtrl+O"),
        item("open-marks", "Open landmarks…"),
        line,
        item("export-sheet", "Issue sheet…", "CmdOrCtrl+E"),
        line,
        { role: "quit", label: "Quit Raphe" },
      ],
    },
    {
      label: "Edit",
      submenu: [
        item("undo", "Undo", "CmdOrCtrl+Z"),
        item("redo", "Redo", "CmdOrCtrl+Shift+Z"),
        line,
        { role: "cut", label: "Cut" },
        { role: "copy", label: "Copy" },
        { role: "paste", label: "Paste" },
        { role: "selectAll", label: "Select all" },
      ],
    },
    {
      label: "View",
      submenu: [
        { role: "zoomIn", label: "Larger" },
        { role: "zoomOut", label: "Smaller" },
        { role: "resetZoom", label: "Usual size" },
        line,
        { role: "togglefullscreen", label: "Full screen" },
      ],
    },
  ];
  if (process.platform === "darwin") template.unshift({ role: "appMenu" });
  Menu.setApplicationMenu(Menu.buildFromTemplate(template));
}
