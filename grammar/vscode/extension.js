// Starts `cotter lsp` for the specs of a window; everything else is the server's.

const { window, workspace } = require("vscode");
const { LanguageClient } = require("vscode-languageclient/node");

let client;

exports.activate = async () => {
  const settings = workspace.getConfiguration("cotter");
  const command = settings.get("command") || "cotter";
  const server = { command, args: ["lsp"] };
  client = new LanguageClient("cotter", "cotter", server, {
    documentSelector: [{ language: "cotter", scheme: "file" }],
    initializationOptions: { inches: settings.get("inches") === true },
    synchronize: {
      configurationSection: "cotter",
      fileEvents: workspace.createFileSystemWatcher("**/*.{cotter,csv}"),
    },
  });
  try {
    await client.start();
  } catch (error) {
    window.showErrorMessage(`cotter: \`${command} lsp\` can't be started (${error.message}); set cotter.command to where it is`);
  }
};

exports.deactivate = () => client?.stop();
