-- A writer at work in Neovim, without a screen: what docs/editors.md says is set up, and what a hand would do is done. Ends with an
-- error where anything is not as it should be. OAKTAG names the program, DRAFT the draft.
vim.env.PATH = vim.fn.fnamemodify(vim.env.OAKTAG, ":h") .. ":" .. vim.env.PATH
dofile(vim.env.SETUP)

local function fail(words)
  io.stderr:write("neovim: " .. words .. "\n")
  vim.cmd("cquit 1")
end

local function wait(words, is_so)
  if not vim.wait(60000, is_so, 50) then fail("waited in vain: " .. words) end
end

local function ask(method, more)
  local params = vim.tbl_extend("force", vim.lsp.util.make_position_params(), more or {})
  local answers, why = vim.lsp.buf_request_sync(0, method, params, 60000)
  if why then fail(method .. ": " .. why) end
  for _, answer in pairs(answers) do
    if answer.error then fail(method .. ": " .. answer.error.message) end
    return answer.result
  end
end

local function text() return table.concat(vim.api.nvim_buf_get_lines(0, 0, -1, false), "\n") end
local function messages() return vim.diagnostic.get(0) end
local function has(words) return function()
  for _, one in ipairs(messages()) do
    if one.message:find(words, 1, true) then return true end
  end
  return false
end end

vim.cmd("edit " .. vim.env.DRAFT)
wait("a client", function() return #vim.lsp.buf_get_clients(0) > 0 or next(vim.lsp.buf_get_clients(0)) ~= nil end)
wait("no messages of a draft that is well", function() return #messages() == 0 end)

-- A word misspelt is told at its place, and its cure mends it.
local line = vim.fn.search("from nape toward down")
vim.cmd("s/from nape/from napee/")
wait("a message", has("napee"))
local one = messages()[1]
if one.lnum ~= line - 1 then fail("the message stands on line " .. one.lnum) end
local params = vim.lsp.util.make_range_params()
params.range = { start = { line = one.lnum, character = one.col }, ["end"] = { line = one.lnum, character = one.end_col } }
params.context = { diagnostics = {} }
local actions = vim.lsp.buf_request_sync(0, "textDocument/codeAction", params, 60000)
for id, answer in pairs(actions) do
  local encoding = vim.lsp.get_client_by_id(id).offset_encoding
  vim.lsp.util.apply_workspace_edit(answer.result[1].edit, encoding)
end
if text():find("napee") then fail("the cure did not mend it") end
wait("no messages once it is mended", function() return #messages() == 0 end)

-- Hover, definition, completion, table of contents.
vim.fn.cursor(line, vim.fn.match(vim.fn.getline(line), "nape toward") + 2)
local hover = ask("textDocument/hover")
if not hover.contents.value:find("back.nape: a point", 1, true) then fail("hover says " .. hover.contents.value) end
local drawn = ask("textDocument/definition")
local drawn_line = vim.fn.getline(drawn.range.start.line + 1)
if not drawn_line:find("point nape = origin", 1, true) then fail("nape is drawn in " .. drawn_line) end
local offered = ask("textDocument/completion")
local labels = vim.tbl_map(function(item) return item.label end, offered.items)
if not vim.tbl_contains(labels, "nape") then fail("nape is not offered") end
if #ask("textDocument/documentSymbol") < 3 then fail("there is no table of contents") end

-- Another name everywhere, and one undo.
vim.lsp.buf.rename("collar_point")
wait("another name", function() return text():find("collar_point toward down", 1, true) ~= nil end)
wait("no messages under another name", function() return #messages() == 0 end)
vim.cmd("undo")
if text():find("collar_point", 1, true) then fail("one undo does not take the name back") end

-- The one layout.
vim.fn.cursor(line, 1)
vim.cmd("s/toward down/toward    down/")
if vim.lsp.buf.format then vim.lsp.buf.format({ timeout_ms = 60000 }) else vim.lsp.buf.formatting_sync(nil, 60000) end
if text():find("toward  ", 1, true) then fail("the text was not laid out") end

print("neovim: well\n")
vim.cmd("qall!")
