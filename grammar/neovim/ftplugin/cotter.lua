-- cotter in Neovim, 0.7 or later: the language server by the built-in client.
--
-- `vim.g.cotter_command` is what starts the server; without it `cotter lsp`, where `cotter` is on the path.

vim.bo.commentstring = "# %s"
vim.bo.comments = ":#"
vim.bo.expandtab = true
vim.bo.shiftwidth = 2
vim.bo.softtabstop = 2

local command = vim.g.cotter_command or { "cotter", "lsp" }
if vim.fn.executable(command[1]) == 0 then
  if not vim.g.cotter_missing then
    vim.g.cotter_missing = true
    vim.notify("cotter: `" .. command[1] .. "` is not found: install it, or set g:cotter_command", vim.log.levels.WARN)
  end
  return
end

local buffer = vim.api.nvim_get_current_buf()
local file = vim.api.nvim_buf_get_name(buffer)
local clients = (vim.lsp.get_clients or vim.lsp.get_active_clients)()

-- The library's own files, opened to look something up, belong to whichever server showed them.
if file:find("cotter-library-", 1, true) then
  for _, client in ipairs(clients) do
    if client.name == "cotter" then
      vim.lsp.buf_attach_client(buffer, client.id)
      return
    end
  end
end

-- The project folder: the repository's top, or the file's own folder.
local folder = vim.fn.fnamemodify(file, ":p:h")
local git = vim.fn.finddir(".git", folder .. ";")
local root = git ~= "" and vim.fn.fnamemodify(git, ":p:h:h") or folder
local config = { name = "cotter", cmd = command, root_dir = root }

if vim.lsp.start then
  vim.lsp.start(config)
  return
end
-- Neovim 0.7 tells nothing of a client that is still being greeted.
cotter_clients = cotter_clients or {}
local id = cotter_clients[root]
if not id or vim.lsp.client_is_stopped(id) then
  id = vim.lsp.start_client(config)
  cotter_clients[root] = id
end
if id then
  vim.lsp.buf_attach_client(buffer, id)
end
