-- With the set-up of `grammar/neovim`: opens heron, is coloured as the server says, sees a clash, applies a code action, sees it gone, completes a part, renames it in two files, lays out.
local folder = vim.env.SPEC

-- Whatever happens, the editor ends.
vim.defer_fn(function()
  io.stderr:write("failed: it took too long\n")
  os.exit(1)
end, 60000)

local function must(condition, words)
  if not condition then
    io.stderr:write("failed: " .. words .. "\n")
    os.exit(1)
  end
end

local function wait(words, condition)
  must(vim.wait(10000, condition, 20), words)
end

vim.cmd("edit " .. folder .. "/heron.cotter")
local buffer = vim.api.nvim_get_current_buf()
must(vim.bo.filetype == "cotter", "the file is known by its name")
must(vim.bo.commentstring == "# %s" and vim.bo.shiftwidth == 2, "it is set up for editing")
local function clients()
  return vim.tbl_filter(function(it) return it.name == "cotter" end, (vim.lsp.get_clients or vim.lsp.get_active_clients)())
end
wait("the server starts", function() return #clients() == 1 end)
local client = clients()[1].id
must(clients()[1].config.root_dir == folder, "in the project folder: " .. clients()[1].config.root_dir)

local function diagnostics(code)
  return vim.tbl_filter(function(it) return it.code == code end, vim.diagnostic.get(buffer))
end

local function request(method, params)
  local answers = vim.lsp.buf_request_sync(buffer, method, params, 10000)
  for _, answer in pairs(answers or {}) do
    must(not answer.err, method .. ": " .. vim.inspect(answer.err))
    return answer.result
  end
  must(false, method .. " is answered")
end

local function place(pattern, further)
  for number, line in ipairs(vim.api.nvim_buf_get_lines(buffer, 0, -1, false)) do
    local start = line:find(pattern)
    if start then
      return { line = number - 1, character = start - 1 + (further or 0) }
    end
  end
  must(false, pattern .. " is there")
end

local document = { uri = vim.uri_from_bufnr(buffer) }

-- Keywords, comments, strings, numbers and marks look like what the server says they are, in a spec and in the library.
local groups = { [0] = "cotterWord", [1] = "cotterComment", [2] = "cotterString", [3] = "cotterNumber", [9] = "cotterMark" }
local function coloured(file, least)
  vim.cmd("edit " .. file)
  local current = vim.api.nvim_get_current_buf()
  wait("it is served", function() return vim.lsp.buf_get_clients(current)[client] ~= nil end)
  must(#clients() == 1, "one server is enough")
  local answers = vim.lsp.buf_request_sync(current, "textDocument/semanticTokens/full", { textDocument = { uri = vim.uri_from_bufnr(current) } }, 10000)
  local data = answers[client].result.data
  local line, character, seen = 0, 0, 0
  for at = 1, #data, 5 do
    character = data[at] > 0 and data[at + 1] or character + data[at + 1]
    line = line + data[at]
    local group = groups[data[at + 3]]
    if group then
      local text = vim.api.nvim_buf_get_lines(current, line, line + 1, false)[1]
      local column = vim.str_byteindex(text, character, true) + 1
      local found = vim.fn.synIDattr(vim.fn.synID(line + 1, column, 1), "name")
      must(found == group, file .. ":" .. line + 1 .. ":" .. column .. " is " .. group .. ", not " .. found .. ": " .. text)
      seen = seen + 1
    end
  end
  must(seen >= least, "there was something to see: " .. seen)
end
coloured(folder .. "/donor.cotter", 400)
coloured(vim.env.LIBRARY .. "/axles.cotter", 1000)
vim.cmd("buffer " .. buffer)

-- A clash, and an action that takes it away.
wait("the clash is seen", function() return #diagnostics("pedal.thread") > 0 end)
local clash = diagnostics("pedal.thread")[1]
local range = {
  start = { line = clash.lnum, character = clash.col },
  ["end"] = { line = clash.end_lnum, character = clash.end_col },
}
local actions = request("textDocument/codeAction", { textDocument = document, range = range, context = { diagnostics = {} } })
local action = vim.tbl_filter(function(it) return it.title:find("pedals = cage_pedals", 1, true) end, actions)[1]
must(action, "a remedy is offered: " .. vim.inspect(actions))
vim.lsp.util.apply_workspace_edit(action.edit, "utf-16")
wait("the clash is gone", function() return #diagnostics("pedal.thread") == 0 end)
must(#vim.diagnostic.get(buffer) > 0, "other clashes stay")

-- A part completed in a slot.
local at = place("saddle           = worn_saddle", #"saddle           = ")
local items = request("textDocument/completion", { textDocument = document, position = at })
local labels = vim.tbl_map(function(it) return it.label end, items)
must(vim.tbl_contains(labels, "sprung_saddle"), "a part that goes there: " .. table.concat(labels, ", "))
must(not vim.tbl_contains(labels, "old_chain"), "none that does not")

-- A part renamed where it is declared and where it is used.
local edit = request("textDocument/rename", { textDocument = document, position = place("old_rim", 2), newName = "first_rim" })
must(#vim.tbl_keys(edit.changes) == 2, "two files: " .. vim.inspect(edit))
vim.lsp.util.apply_workspace_edit(edit, "utf-16")
wait("nothing is missing after it", function() return #diagnostics("name.unknown") == 0 and #diagnostics("slot.kind") == 0 end)

-- A rough line laid out.
local line = place("paid").line
vim.api.nvim_buf_set_lines(buffer, line, line + 1, false, { "paid=140 EUR" })
local edits = request("textDocument/formatting", { textDocument = document, options = { tabSize = 2, insertSpaces = true } })
vim.lsp.util.apply_text_edits(edits, buffer, "utf-16")
must(vim.api.nvim_buf_get_lines(buffer, line, line + 1, false)[1] == "  paid             = 140 EUR", "the line is laid out")

vim.cmd("silent! wall")
vim.lsp.stop_client(client)
wait("the server is gone", function() return vim.lsp.client_is_stopped(client) end)
io.stdout:write("all done\n")
os.exit(0)
